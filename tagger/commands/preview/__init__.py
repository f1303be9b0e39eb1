"""Commands that draw scans in the terminal."""
