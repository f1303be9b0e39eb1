"""The shape of the code: circles, sizes, complexity, and what the first screen costs."""
