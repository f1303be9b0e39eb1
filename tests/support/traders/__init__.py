"""Lists as traders and collectors' clubs keep them, each lot counted before its failures were
looked at."""
