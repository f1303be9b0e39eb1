"""What other hands do to an open lot: seen, told, and what was accepted kept beside it."""
