"""Print on scans, read by small networks. Loaded in a process of its own."""
