"""Layouts: what an export looks like, as the user describes it."""
