"""A lot as it stands: its state, what changes it, its fields, and the port that keeps it."""
