"""The four sides of what stands out from the scanner's bed, to some pixels."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from tagger.imaging.card.background import Bed, BedPiece, Mask, apart, parts
from tagger.imaging.card.card_edges import MM, NoEdges
from tagger.imaging.card.lines import LIGHT, FittedLine, Pixels, fit

LOOK = 14  # working pixels: a card's side lies no farther than that beside its rough one
MOST_LOOK = 150.0  # pixels beside a rough side, however far off the known size it seems
STEP = 4  # pixels of the working picture to one of the rough one
SMALLEST = 24  # rough pixels: what is narrower is no card
PLAIN, FAINT = 7.0, 4.0  # levels that stand out from the bed, and from a light one
AGREE, FEW = 0.5, 0.3  # of a side's rows: so many say how the card is turned, so few say nothing

Bounds = tuple[int, int, int, int]  # left, upper, right, lower


@dataclass(frozen=True)
class RoughSides:
    """The four sides (left, right as x over y; upper, lower as y over x) in working pixels, and the
    middle of the box around them, x and y."""

    left: FittedLine
    right: FittedLine
    upper: FittedLine
    lower: FittedLine
    middle: tuple[float, float]

    @cached_property
    def across(self) -> float:
        """The width in the middle, in pixels."""
        return float(self.right.place(self.middle[1]) - self.left.place(self.middle[1]))

    @cached_property
    def down(self) -> float:
        """The height in the middle, in pixels."""
        return float(self.lower.place(self.middle[0]) - self.upper.place(self.middle[0]))

    def dots(self, size: tuple[float, float]) -> float:
        """Dots per inch, if this is a card of that size in mm."""
        return MM * math.sqrt(max(0.0, self.across * self.down) / (size[0] * size[1]))


def rough_sides(seen: Pixels, bed: Bed) -> RoughSides | NoEdges:
    """The sides of the largest thing that stands out from the bed, in a picture STEP times as
    coarse as the working one."""
    mask = apart(seen, bed) > standing_out(bed)
    pieces = parts(mask, 30)
    if not pieces:
        return NoEdges("no card", "nothing stands out")
    # A dark card on a dark bed comes in pieces, which lie near each other and are not much smaller.
    near = [piece for piece in pieces if piece.area >= 0.02 * pieces[0].area]
    left, upper, right, lower = bounds = _around(near)
    if right - left < SMALLEST or lower - upper < SMALLEST:
        return NoEdges("no card", "too small")
    left_out, right_out, upper_out, lower_out = _outlines(_only(mask, near), bounds)
    turn = _turn_of((left_out, right_out, upper_out, lower_out))
    middle = (float(left * STEP + right * STEP) / 2, float(upper * STEP + lower * STEP) / 2)
    sides = (
        left_out.squared(turn),
        right_out.squared(turn),
        upper_out.squared(turn),
        lower_out.squared(turn),
    )
    # No line goes through an outline that has next to no row.
    if not all(math.isfinite(side.at) and math.isfinite(side.slope) for side in sides):
        return NoEdges("no card", "no side of it can be made out")
    return RoughSides(*sides, middle)


def standing_out(bed: Bed) -> float:
    """How many levels off a bed what lies on it is at least."""
    # Of white paper on a light bed there is little more to see than its shadow.
    least = FAINT if bed.level > LIGHT else PLAIN
    return min(16.0, max(least, 6.0 * bed.noise))


def _turn_of(outlines: Sequence[_Outline]) -> float:
    """The slope of the card's sides that run down, as most of its sides tell it."""
    # One side may lie in shadow or beyond the scan: the others say how the card is turned.
    good = [one for one in outlines if one.share >= AGREE] or outlines
    return float(np.median([one.turn for one in good]))


def _around(pieces: list[BedPiece]) -> Bounds:
    return (
        min(piece.left for piece in pieces),
        min(piece.upper for piece in pieces),
        max(piece.right for piece in pieces),
        max(piece.lower for piece in pieces),
    )


def _only(mask: Mask, pieces: list[BedPiece]) -> Mask:
    """A mask of these pieces and nothing else."""
    if sum(piece.area for piece in pieces) == np.count_nonzero(mask):
        return mask
    ends = np.zeros((mask.shape[0], mask.shape[1] + 1), np.int8)
    y, start, past = np.concatenate([piece.runs for piece in pieces]).T
    ends[y, start], ends[y, past] = 1, -1
    return np.asarray(np.cumsum(ends[:, :-1], axis=1, dtype=np.int8) > 0)


@dataclass(frozen=True)
class _Outline:
    """A line along one side of a mask and the share of its rows that agree; the `edge` of the box
    around it on that side, the `middle` of that edge, and `way`: 1 for a side that runs down, -1
    for one that runs across, as the slopes of the two are opposite on a card that is turned."""

    line: FittedLine
    share: float
    edge: int
    middle: float
    way: int

    @property
    def turn(self) -> float:
        """The slope of the card's sides that run down, as this side tells it."""
        return self.way * self.line.slope

    def squared(self, turn: float) -> FittedLine:
        """The side in working pixels, with the slope that it has on a card that is turned so."""
        slope = self.way * turn
        # Where hardly any row agrees on a line, the box is all that is known of the side.
        place = float(self.line.place(self.middle)) if self.share >= FEW else self.edge
        return FittedLine((place - slope * self.middle) * STEP, slope)


def _outlines(mask: Mask, bounds: Bounds) -> list[_Outline]:
    """The left, right, upper and lower outline of a mask, in its pixels."""
    left, upper, right, lower = bounds
    x, y = (left + right) / 2, (upper + lower) / 2
    columns = zip(_outermost(mask, upper, lower), (left, right), strict=True)
    rows = zip(_outermost(mask.T, left, right), (upper, lower), strict=True)
    return [
        *(_Outline(*found, edge, y, 1) for found, edge in columns),
        *(_Outline(*found, edge, x, -1) for found, edge in rows),
    ]


def _outermost(mask: Mask, start: int, past: int) -> list[tuple[FittedLine, float]]:
    """Lines through the first and through the last marked pixel of the rows of a mask, and the
    share of rows that agree."""
    # Corners are round, and a card that is turned has none at the ends of its box.
    inset = (past - start) // 8
    part = np.ascontiguousarray(mask[start + inset : past - inset])
    first, last = part.argmax(axis=1), part[:, ::-1].argmax(axis=1)
    marked = part[np.arange(len(part)), first]
    along = (np.arange(len(part)) + (start + inset + 0.5))[marked]
    far = part.shape[1] - last[marked]
    return [fit(along, place.astype(np.float64)) for place in (first[marked], far)]
