"""The headings of a table: what each means, and what they mean beside each other."""
