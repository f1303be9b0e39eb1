"""What the scans of tagged cards are known to be."""
