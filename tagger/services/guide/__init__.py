"""What the program says of itself: help pages, the manual page, the schemas of its JSON."""
