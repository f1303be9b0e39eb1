"""What any picture of the demo is made with: brushes, letters, foil, a side, its wear."""
