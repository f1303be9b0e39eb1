"""Parallels, serial numbers and conditions in a hint."""
