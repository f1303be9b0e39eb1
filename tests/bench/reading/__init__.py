"""Reading cards: which rows are sure, what is wrong among them, what it costs."""
