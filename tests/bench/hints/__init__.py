"""Hints at 100,000 and 1,000,000 rows, with a peer; how often the right row is on top."""
