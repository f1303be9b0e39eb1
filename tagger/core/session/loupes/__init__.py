"""Where the loupe lies on a card, and where the number is."""
