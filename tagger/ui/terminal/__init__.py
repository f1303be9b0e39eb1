"""Textual and the terminal under it; nothing here knows cards."""
