"""Frames whose colour is unlike those of the cards around."""
