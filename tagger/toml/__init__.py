"""TOML files that a user writes: read, checked, and pointed at by line."""
