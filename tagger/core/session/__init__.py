"""One sitting at a lot: what Enter would do, and what each key does."""
