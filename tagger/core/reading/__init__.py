"""What is printed on a card, as it was read off its scans, and which rows that speaks for."""
