"""A list's bytes and text before anything is read: encodings, what pasting left, fixed widths."""
