"""A lot's page and sheets: their sizes, when a browser shows the first picture."""
