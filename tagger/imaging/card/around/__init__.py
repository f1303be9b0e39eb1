"""What lies around a card: what the machine adds to a page, the stripes of a bed, a sleeve."""
