"""Keys a card of a typist who sees only the screen, and where they are lost."""
