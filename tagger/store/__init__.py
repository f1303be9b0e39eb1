"""Where lots are kept: TinyDB documents on disk, their lock, and the list of lots."""
