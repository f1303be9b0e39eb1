"""Cases that once found something: they are tried in every run. A find is a number, which makes the
case again as long as `mutations` and its seeds stay what they are; the fault itself has a test of
its own."""

FINDS: dict[str, tuple[int, ...]] = {
    "pictures": (376, 4882, 7134, 8978),  # what stands out is a line: no dots per inch
    "journals": (1,),  # undo leads to a line beyond any file
    "caches": (6, 7, 8, 9),  # an index's words are no UTF-8, its numbers lead nowhere
}
