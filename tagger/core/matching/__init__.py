"""Which card a hint means."""
