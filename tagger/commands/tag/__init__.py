"""Commands to tag: a lot opened, its progress, a hint tried out, the demo lot."""
