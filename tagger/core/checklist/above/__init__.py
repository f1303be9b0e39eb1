"""What stands above the cards of a table or a list."""
