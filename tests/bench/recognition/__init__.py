"""Copies of cards among 100,000 known ones, with imagehash beside."""
