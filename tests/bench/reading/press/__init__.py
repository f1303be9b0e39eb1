"""A second press: cards drawn by a generator that shares nothing with the first, neither fonts,
designs, artwork, names nor the scanner."""
