"""Several stations as one inventory: published, pulled, sold."""
