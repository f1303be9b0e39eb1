"""From pixels to terminal cells."""
