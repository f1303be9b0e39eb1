"""What becomes of tagged cards: sold by orders, pulled, counted, moved, and what they brought in."""
