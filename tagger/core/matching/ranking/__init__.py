"""The order of the rows that a hint points to, and how sure each of them is."""
