"""Cards read in a process of their own, ahead of the dealer or over night."""
