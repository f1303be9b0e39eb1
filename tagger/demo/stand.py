"""Where a head is on its picture and how it is held; the places of the whole figure go by it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from tagger.demo.brush import Point


@dataclass(frozen=True)
class Bearing:
    """Where a head is on its picture and how it is held.

    ``x``, ``y`` and ``unit`` are pixels, ``turn`` is -1 (to the left) to 1, ``tilt`` is degrees.
    """

    x: float
    y: float
    unit: float
    turn: float = 0.0
    tilt: float = 0.0

    def at(self, x: float, y: float) -> Point:
        """The pixel of a place given in units."""
        lean = math.radians(self.tilt)
        across, down = (
            x * math.cos(lean) - y * math.sin(lean),
            x * math.sin(lean) + y * math.cos(lean),
        )
        return (self.x + across * self.unit, self.y + down * self.unit)

    def line(self, points: Sequence[Point]) -> list[Point]:
        """The pixels of several places given in units."""
        return [self.at(x, y) for x, y in points]

    def face(self, x: float, y: float) -> Point:
        """The pixel of a place on the face, moved with the turn of the head."""
        return self.at(x * (1 - 0.12 * abs(self.turn)) + 0.2 * self.turn, y)


def mirrored(half: Sequence[Point]) -> list[Point]:
    """An outline from its right half, which starts and ends on the middle line."""
    return [*half, *[(-x, y) for x, y in reversed(half) if x != 0]]
