"""Steps, bytes, slow lines, memory, and what Tesseract reads in the loupe."""
