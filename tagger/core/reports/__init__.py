"""What is there, what it is worth, where it is."""
