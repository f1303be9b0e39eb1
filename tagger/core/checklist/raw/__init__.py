"""A list before its tables are read: its bytes and text, and the lines that name nothing."""
