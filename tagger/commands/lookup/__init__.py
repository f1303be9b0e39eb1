"""Commands to look up: cards, stock, sets, values, lots."""
