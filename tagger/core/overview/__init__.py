"""Many cards at once: filters, doubles, bulk changes."""
