"""Makers of fronts that bear the number of the card, and of the backs that are all one."""
