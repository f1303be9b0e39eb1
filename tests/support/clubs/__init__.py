"""Lists as clubs, shops, collectors' programs and forums have them, each with what it means."""
