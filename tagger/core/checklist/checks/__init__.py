"""Whether what was read looks like what it was read as: cards, names, numbers, sets."""
