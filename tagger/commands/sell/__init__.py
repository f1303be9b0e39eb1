"""Commands that sell: sold, pick, move, cost, sales."""
