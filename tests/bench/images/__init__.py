"""Pictures of 1,000 cards beside Pillow, contact sheets and the page."""
