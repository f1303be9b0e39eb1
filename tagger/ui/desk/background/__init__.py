"""What goes on behind the desk, and how its screen hears of it."""
