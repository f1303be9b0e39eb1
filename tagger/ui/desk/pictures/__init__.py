"""What is seen of the cards: both sides and the loupes, drawn ahead of the dealer."""
