"""Answers of commands in their forms: text, JSON, rows of a table."""
