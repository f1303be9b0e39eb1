"""The words that lists use: what their columns are called."""
