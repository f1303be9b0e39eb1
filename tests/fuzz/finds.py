"""Cases that once found something: they are tried in every run. A find is a number, which makes the
case again as long as `mutations` and its seeds stay what they are; the fault itself has a test of
its own."""

FINDS: dict[str, tuple[int, ...]] = {
    # what stands out is a line: no dots per inch; a picture of two flat halves (6439)
    "pictures": (376, 4882, 6439, 7134, 8978),
    # a card without a scan, a scan that is a number, marks that nothing vouches for
    "journals": (91, 258, 574),
    "damaged": (73,),
    # rows that are text where a document is meant, running numbers and parts that are none
    "hubs": (1, 14, 89, 108),
    "stations": (23,),  # a time without end
}
