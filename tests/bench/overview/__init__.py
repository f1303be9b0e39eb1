"""Keys in the overview of 10,000 cards, and one change to all of them."""
