"""The desk and the find screen, put together with all that they need."""
