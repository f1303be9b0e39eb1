"""Dividers: read in scans, false on cards, CPU, a second reader, keys saved in a tray of groups."""
