"""Checklist files as rows."""
