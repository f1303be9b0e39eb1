"""What the print on cards says of a lot, where it was read."""
