"""Commands for a shop of several machines."""
