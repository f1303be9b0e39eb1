"""A card by its lines alone: rectangles on the scan, and the one that is the card."""
