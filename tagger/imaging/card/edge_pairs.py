"""Which two lines are opposite sides of one card: continuous, with the bed outside, parallel, and
as far apart as the known size asks."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from itertools import product
from typing import TYPE_CHECKING

import numpy as np

from tagger.core.audit.card_size import is_fed
from tagger.imaging.card.edge_lines import EdgeLine, candidates
from tagger.imaging.card.lines import LIGHT, FittedLine, strip
from tagger.imaging.card.rough_sides import LOOK, MOST_LOOK

if TYPE_CHECKING:
    from tagger.imaging.card.background import Bed
    from tagger.imaging.card.refined_line import RefinedLine
    from tagger.imaging.seen_levels import SeenLevels

CROOKED = 0.006  # slope by which sides are off; two that are this much off lose a little
DEEP = 20  # pixels inward of a rough side that its shadow may have made too large
DEEPER = 28  # pixels, the same on a light bed, where all of a shadow stands out
SHARPER = 0.5  # of the sharpest line's step
IN_SHADOW = 0.35  # what a line loses that may be the beginning of a shadow
WITHIN = 0.4  # what a line loses outside of which the edge of the paper may be
OFF = 0.006  # of the wanted distance, likewise
EASED = 0.5  # of what is lost so, where a feeder may have stretched the card


RefinedAt = tuple[float, float, int, bool]  # where a line is, inward, past its shadow
# a rough side, how far outward and inward of it is looked, inward
BesideAt = tuple[FittedLine, int, int, int]
BothSides = tuple[list[EdgeLine], list[EdgeLine]]  # lines that may be the near or the far side


@dataclass(frozen=True)
class Plane:
    """A picture with the sides that run down it: as it is for left and right, `turned` (its rows as
    columns) for upper and lower. `reach` is from where to where along a side, `middle` the middle
    of the card along it. `refined` keeps the lines that were refined on it and `found` those seen
    beside its rough sides: a card of any size is looked for beside the same ones as one of the
    known size."""

    levels: SeenLevels
    reach: tuple[float, float]
    middle: float
    turned: bool
    refined: dict[RefinedAt, RefinedLine] = field(default_factory=dict, compare=False, repr=False)
    found: dict[BesideAt, list[EdgeLine]] = field(default_factory=dict, compare=False, repr=False)

    def bed_beside(self, bed: Bed, across: np.ndarray, along: np.ndarray) -> np.ndarray:
        """The bed's colour at places across and along, in pixels of this plane."""
        x = (across / self.levels.shape[1] * 2 - 1).astype(np.float32)
        y = (along / self.levels.shape[0] * 2 - 1).astype(np.float32)
        return bed.at(y, x) if self.turned else bed.at(x, y)


@dataclass(frozen=True)
class EdgePair:
    """Two opposite sides, the near one left or upper, on their plane, and how well they fit."""

    plane: Plane
    near: EdgeLine
    far: EdgeLine
    score: float

    @property
    def slopes(self) -> float:
        """Both slopes together."""
        return self.near.line.slope + self.far.line.slope


def lines_beside(
    plane: Plane,
    bed: Bed,
    rough: tuple[FittedLine, FittedLine],
    wanted: float | None,
    seen: float,
) -> BothSides:
    """The lines beside each of two opposite rough sides. `wanted` is by how many pixels they should
    be apart (None: that is not known), `seen` by how many the rough ones are."""
    # Where the rough sides are too near together the card goes on beyond them, and the other way.
    more = 0.0 if wanted is None else wanted - seen
    # Whole pixels, so that a line is at the very same place however far beside it is looked.
    out = math.ceil(min(MOST_LOOK, LOOK + max(0.0, more)))
    into = math.ceil(min(MOST_LOOK, LOOK + max(0.0, -more))) if wanted else DEEP
    if bed.level > LIGHT:
        into = max(into, DEEPER)
    found = []
    for line, inward in zip(rough, (1, -1), strict=True):
        at = (line, out, into, inward)
        if at not in plane.found:
            beside = strip(plane.levels, line, plane.reach, out, into, inward)
            bare = plane.bed_beside(bed, beside.start, beside.along)
            plane.found[at] = candidates(beside, bare, bed.noise)
        found.append(plane.found[at])
    if wanted is None:
        found = [_sharper(lines) for lines in found]
    near, far = found
    return near, far


def edge_pairs(plane: Plane, lines: BothSides, wanted: float | None) -> list[EdgePair]:
    """Pairs of opposite sides out of the lines of each, best first."""
    # Each line's place once, and not once a pair.
    places = [[one.line.at + one.line.slope * plane.middle for one in side] for side in lines]
    pairs = [
        EdgePair(plane, near, far, _score(near, far, other - one, wanted))
        for (near, far), (one, other) in zip(product(*lines), product(*places), strict=True)
    ]
    return sorted(pairs, key=lambda pair: -pair.score)


def _sharper(lines: list[EdgeLine]) -> list[EdgeLine]:
    """The sharp ones of these lines: where the size is not known it cannot tell a card's edge from
    its shadow's or from the halo that sharpening draws beside it. Paper on a light bed ends less
    sharply than the print on it."""
    most = max((one.sharp for one in lines), default=0.0)
    return [one for one in lines if one.paper or one.sharp >= SHARPER * most]


def _score(near: EdgeLine, far: EdgeLine, across: float, wanted: float | None) -> float:
    """How well two lines fit that are so many pixels apart, along the picture's rows."""
    gap = across * math.cos(math.atan(near.line.slope))
    off = (gap - wanted) / (wanted * OFF) if wanted else 0.0
    # Where paper ends on both sides it is the card that is longer or shorter, as feeders make it.
    fit = EASED if near.paper and far.paper and wanted and is_fed(gap, wanted) else 1.0
    clear = near.clear + far.clear
    crooked = abs(near.line.slope - far.line.slope) / CROOKED
    # Bounded: a card of another size must still be found, if worse than one of the known size.
    return (
        near.support
        + far.support
        + 0.8 * clear
        - IN_SHADOW * (near.shadow + far.shadow)
        - WITHIN * (near.within + far.within)
        - min(off**2, 6.0) * 0.25 * fit
        - min(crooked**2, 4.0) * 0.15
    )


def score_together(columns: EdgePair, rows: EdgePair) -> float:
    """How well two pairs make one card: both good, and at right angles."""
    lean = (
        columns.near.line.slope
        + columns.far.line.slope
        + rows.near.line.slope
        + rows.far.line.slope
    ) / 2
    return columns.score + rows.score - min((lean / CROOKED) ** 2, 4.0) * 0.2
