"""The lines of a table as rows."""
