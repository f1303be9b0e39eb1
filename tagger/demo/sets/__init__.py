"""The invented sets: what is listed, and how the front and back of each card is printed."""
