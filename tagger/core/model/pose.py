"""How a scan is to be seen: which way round, straight and cropped to its card or as it is,
brightened or not."""

from __future__ import annotations

import math
from dataclasses import dataclass

Point = tuple[float, float]
Corners4 = tuple[Point, Point, Point, Point]
TURNS = (0, 90, 180, 270)


@dataclass(frozen=True, slots=True)
class Pose:
    """What is done to a scan before it is shown; the scan itself stays as it is. Without arguments:
    nothing.

    `corners` are the card's as the upright scan, or the part of it that is named, shows it: left
    upper, right upper, right lower, left lower, in pixels of the full size. With them the card is
    shown straight with `margin` mm of what lies around it; `dpi` is the scan's dots per inch (0:
    not known, the card then has the usual size). After that it is turned clockwise by `turn`, 0,
    90, 180 or 270 degrees. `levels`: a card that scanned dark is brightened. Raises ValueError for
    another turn, and for numbers that are none."""

    turn: int = 0
    corners: Corners4 | None = None
    dpi: float = 0.0
    margin: float = 2.0
    levels: bool = False

    def __post_init__(self) -> None:
        if self.turn not in TURNS:
            raise ValueError(f"a scan is turned by 0, 90, 180 or 270 degrees, not by {self.turn}")
        given = (
            self.dpi,
            self.margin,
            *(value for corner in self.corners or () for value in corner),
        )
        # a NaN compares as false with everything, so no later test would find it
        if not all(math.isfinite(value) for value in given):
            raise ValueError("a number is not finite")


PLAIN = Pose()
"""A scan as it is."""
