"""Keys until the loupe shows the card number on a design that is new, on held-out designs."""
