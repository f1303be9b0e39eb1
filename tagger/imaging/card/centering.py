"""How well a card's picture is centred, as the hobby writes it: the shares of the two opposite
borders, 55/45.

It is an estimate from a scan and no professional grade: a scanner stretches a little, a bowed or
tilted card lies otherwise than a flat one, and a grader measures where the border meets the design
by eye. Only designs with an even border all round have a centering; for all others, full bleed
above all, nothing is given."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from PIL import Image

from tagger.core.audit.card_size import COMMON
from tagger.imaging.card.card_edges import MM, Edges
from tagger.imaging.card.deskew import straight
from tagger.imaging.card.edge_lines import EdgeLine, candidates
from tagger.imaging.card.kept_levels import levels_of
from tagger.imaging.card.lines import ROBUST, WORK_DPI, FittedLine, strip
from tagger.imaging.card.refined_line import refine
from tagger.imaging.seen_levels import SeenLevels

WIDEST_MM = 11.0  # a border
NARROWEST_MM = 0.9
ONE_COLOUR = 22.0  # levels that the four borders may differ by
_SUPPORT, _CLEAR = 0.55, 0.85  # of the line between border and picture, see EdgeLine


@dataclass(frozen=True)
class Centering:
    """The four borders in mm, the card's size in mm as it stands, and how far the card lay crooked
    on the scan in degrees (clockwise). `tilt` is by how many degrees the picture is turned on the
    card."""

    left: float
    upper: float
    right: float
    lower: float
    width: float
    height: float
    skew: float
    tilt: float

    @property
    def across(self) -> tuple[float, float]:
        """Left and right share of both borders, in points of a hundred."""
        return _shares(self.left, self.right)

    @property
    def down(self) -> tuple[float, float]:
        """Upper and lower share of both borders, in points of a hundred."""
        return _shares(self.upper, self.lower)

    def written(self) -> str:
        """`55/45 across, 52/48 down`: left/right and top/bottom, the larger share first, as is
        common practice."""
        return f"{_written(self.across)} across, {_written(self.down)} down"


@dataclass(frozen=True)
class NoCentering:
    """Why no centering is given: `full bleed` (no border that goes all round), `uneven` (borders of
    several colours) or `unclear` (the card's own edges are not sure enough to measure from)."""

    reason: str


def _shares(one: float, other: float) -> tuple[float, float]:
    share = 100 * one / (one + other)
    return share, 100 - share


def _written(shares: tuple[float, float]) -> str:
    larger = round(max(shares))
    return f"{larger}/{100 - larger}"


def _depths(
    depths: Sequence[float], size: tuple[int, int], card: tuple[float, float], dots: float
) -> Iterator[float]:
    """The borders in mm, of their depths in pixels of a crop of this size."""
    # The crop is whole pixels: what rounding left over lies outside of the card on both sides.
    slack = [(length - mm / MM * dots) / 2 for length, mm in zip(size, card, strict=True)]
    slacks = (slack[0], slack[0], slack[1], slack[1])
    return ((depth - spare) / dots * MM for depth, spare in zip(depths, slacks, strict=True))


def measure_centering(
    picture: Image.Image, edges: Edges, *, turn: int = 0
) -> Centering | NoCentering:
    """The centering of the card on an RGB scan. `turn`: by how many degrees (clockwise) the card is
    turned to stand."""
    if not _are_sure(edges):
        return NoCentering("unclear")
    dots = min(edges.dpi, 2.0 * WORK_DPI)
    levels = SeenLevels.of(levels_of(straight(picture, edges, turn=turn, dpi=dots)))
    borders = _borders(levels, dots)
    if borders is None:
        return NoCentering("full bleed")
    if not _are_of_one_colour(borders):
        return NoCentering("uneven")
    card = (edges.height, edges.width) if turn in (90, 270) else (edges.width, edges.height)
    high, wide = levels.shape
    depths = [border.depth for border in borders]
    left, right, upper, lower = _depths(depths, (wide, high), card, dots)
    turns = [border.turn for border in borders]
    tilt = -math.degrees(math.atan(sum(turns) / 4))
    return Centering(left, upper, right, lower, card[0], card[1], edges.angle, tilt)


@dataclass(frozen=True)
class _Border:
    """The slope of the card that the line between border and picture tells, how deep the border is
    in pixels at the middle, and its colour."""

    turn: float
    depth: float
    colour: npt.NDArray[np.float64]


def _are_sure(edges: Edges) -> bool:
    """Whether a card's edges are sure enough, and far enough from each other, to measure from."""
    # Borders are measured from the card's edges: half a millimetre off, of a border of 2.5, is ten
    # points of a hundred.
    short, long = sorted((edges.width, edges.height))
    off = min(max(abs(short - one), abs(long - other)) for one, other in COMMON)
    return edges.confidence >= 0.7 and off <= 0.6


def _are_of_one_colour(borders: Sequence[_Border]) -> bool:
    # A picture that bleeds to the edge may have four even sides too, but not of one colour.
    colours = np.stack([border.colour for border in borders])
    return float(np.ptp(colours, axis=0).max()) <= ONE_COLOUR


def _borders(levels: SeenLevels, dots: float) -> list[_Border] | None:
    """The left, right, upper and lower border of a straight crop; None where one is not even."""
    found: list[_Border] = []
    for plane, way in ((levels, 1), (levels.turned(), -1)):
        for inward in (1, -1):
            border = _border(plane, dots, inward, way)
            if border is None:
                return None
            found.append(border)
    return found


def _border(plane: SeenLevels, dots: float, inward: int, way: int) -> _Border | None:
    """The border along one side of a straight crop, None where no even border is seen. The side
    runs down; `way` is -1 where the crop was turned for that."""
    down, across = plane.shape
    rim = FittedLine(0.0 if inward == 1 else float(across), 0.0)
    reach = (0.14 * down, 0.86 * down)
    beside = strip(plane, rim, reach, 0, WIDEST_MM / MM * dots, inward)
    # Right at the rim lies what the cut left of the bed; a little inside the border is itself.
    first, last = round(0.35 / MM * dots), round(0.75 / MM * dots)
    outer = beside.seen[:, first:last]
    own = np.median(outer, axis=1)
    colour = np.median(own, axis=0)
    if float((np.abs(own - colour).max(axis=1) <= 12).mean()) < 0.9:
        return None
    bands = np.broadcast_to(colour.astype(np.float32), own.shape)
    noise = ROBUST * float(np.median(np.abs(outer - own[:, None, :])))
    frame = _frame(candidates(beside, bands, max(0.5, noise), 12), NARROWEST_MM / MM * dots)
    if frame is None:
        return None
    # A printed frame casts no shadow.
    side = refine(plane, frame.line, reach, inward, shadows=False)
    # A line that few places agree with goes through print, and is no border's end.
    if side.agree < 0.6:
        return None
    depth = abs(float(side.line.place(down / 2)) - rim.at)
    return _Border(way * side.line.slope, depth, np.asarray(colour, dtype=np.float64))


def _frame(lines: list[EdgeLine], least: float) -> EdgeLine | None:
    """The outermost line that goes all along the side, has the border's colour outside of it, and
    is no mere echo of a far stronger one, as coding leaves beside it."""
    good = [one for one in lines if one.step >= least and _is_along(one)]
    strong = 0.3 * max((one.sharp for one in good), default=0.0)
    return min((one for one in good if one.sharp >= strong), key=lambda one: one.step, default=None)


def _is_along(line: EdgeLine) -> bool:
    """Whether a line goes all along the side, with the border's colour outside of it."""
    return line.support >= _SUPPORT and line.clear >= _CLEAR
