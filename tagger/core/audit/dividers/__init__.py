"""Dividers among the scans of a lot: found, and what is wrong with them."""
