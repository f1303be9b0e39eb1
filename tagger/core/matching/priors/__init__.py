"""What the lot so far makes likely: the next row, the next set, the next of a series."""
