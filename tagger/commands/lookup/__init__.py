"""Commands to look up: cards, sets, values, lots."""
