"""What the keys of the desk mean, a class for each mode; those above tagging are loaded when they
are opened first."""
