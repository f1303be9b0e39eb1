"""What the keys of the find screen mean, a class for each mode."""
