"""From scan names to cards: feeding order, sides, pairing."""
