"""What this machine remembers: paths, lots, loupes, terminals."""
