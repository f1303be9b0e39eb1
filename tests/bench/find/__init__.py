"""A card found in 2,000 lots, with peers."""
