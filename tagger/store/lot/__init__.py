"""One lot on disk: its journal, its document, recovery and repair."""
