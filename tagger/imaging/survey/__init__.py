"""All scans of a lot measured, and what they say together."""
