"""Which worlds are reported and which are worked with, by the size of the checklist."""

HELD_OUT = ((11, 12, 13), (14, 15))
TUNING = ((1, 2), (3,))
