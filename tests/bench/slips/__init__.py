"""Slips of the finger that are doubted, and right numbers that are, in trays of many kinds."""
