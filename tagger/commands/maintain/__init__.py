"""Commands to maintain: repair, previews in this terminal, completion, help."""
