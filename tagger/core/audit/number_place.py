"""Where the number may stand on a side of cards of one design, as it was found by comparing some of
them; how that is found is no matter of the rules."""

from __future__ import annotations

from typing import NamedTuple


class NumberSpot(NamedTuple):
    """A place on a side: its middle and its size, as fractions of what a pose shows of the scan
    with `poses.MARGIN` around the card; of the whole scan where its edges were not found."""

    x: float
    y: float
    width: float
    height: float


class NumberPlace(NamedTuple):
    """The places of one design on the side that a scan is of, the likeliest first; none where the
    number is on the other side. `design` is its number in this sitting."""

    design: int
    spots: tuple[NumberSpot, ...]
