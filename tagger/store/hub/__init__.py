"""The hub: one inventory of several stations, in a PostgreSQL database."""
