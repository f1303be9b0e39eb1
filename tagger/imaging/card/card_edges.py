"""What is said of where a card lies on its scan; how it is found is `edges.py`. Loads no numpy."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import NamedTuple

from tagger.core.model.pose import Corners4

MM = 25.4  # mm an inch
CARD_MM = (63.5, 88.9)  # 2.5 x 3.5 in: common practice

Corners = Corners4


@dataclass(frozen=True)
class Edges:
    """A card's place on a scan.

    `corners` are pixels: the card's left upper, right upper, right lower and left lower corner as
    the scan shows it, sharp, as if they were not rounded. `angle` is how far it is turned
    clockwise, in degrees, -45 to 45. `width` and `height` are mm as the scan shows it, so a card
    that lies on its side is wider than high. `dpi` is dots per inch: the given ones, or estimated
    from the known size. `confidence` is 0 to 1. `contrast` tells whether the bed is seen outside of
    all four sides, so that the size is measured rather than assumed. `seen` is the width and height
    in mm that the sides made before those in doubt were moved towards the known size; 0 where not
    known. `around` is by how many mm a sleeve or a case is wider and higher than the card in it, 0
    where none is seen."""

    corners: Corners
    angle: float
    width: float
    height: float
    dpi: float
    confidence: float
    contrast: bool
    seen: tuple[float, float] = (0.0, 0.0)
    around: tuple[float, float] = (0.0, 0.0)

    @property
    def short_and_long(self) -> tuple[float, float]:
        """The lengths of its short and its long side in mm."""
        return min(self.width, self.height), max(self.width, self.height)

    @property
    def sideways(self) -> bool:
        """Whether the card lies on its long side."""
        return self.width > self.height

    def enlarged(self, factor: float) -> Edges:
        """The same in pixels of a picture that is so many times as fine."""
        if factor == 1.0:
            return self
        a, b, c, d = ((x * factor, y * factor) for x, y in self.corners)
        return replace(self, corners=(a, b, c, d), dpi=self.dpi * factor)


class NoEdges(NamedTuple):
    """Why no edges are given: `no card`, `unclear`, `size` or `shape`; `detail` says more to
    whoever looks into it. `lines` are the corners, in pixels, that the lines beside what stands
    out make, where these are clear; and `size` is their width and height in mm: what one scan
    cannot be sure of, many can agree on."""

    reason: str
    detail: str = ""
    lines: Corners | None = None
    size: tuple[float, float] = (0.0, 0.0)

    def resized(self, factor: float) -> NoEdges:
        """The same in pixels of a picture that is so many times as fine."""
        if self.lines is None or factor == 1.0:
            return self
        a, b, c, d = ((x * factor, y * factor) for x, y in self.lines)
        return self._replace(lines=(a, b, c, d))

    def moved(self, by: tuple[int, int]) -> NoEdges:
        """The same on a picture of which this one is a part that begins so many pixels from its
        left and upper end."""
        if self.lines is None or by == (0, 0):
            return self
        a, b, c, d = ((x + by[0], y + by[1]) for x, y in self.lines)
        return self._replace(lines=(a, b, c, d))


def side_lengths(corners: Corners) -> tuple[float, float]:
    """A card's width and height in pixels: the means of its opposite sides."""
    a, b, c, d = corners
    return (math.dist(a, b) + math.dist(d, c)) / 2, (math.dist(a, d) + math.dist(b, c)) / 2
