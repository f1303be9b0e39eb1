"""A lot shown to others: pages, sheets, pictures."""
