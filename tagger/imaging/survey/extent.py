"""What a scan shows of its card: how large it is there, and at which of the scan's edges it goes on
or ends."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from PIL import Image

from tagger.imaging.card.background import Mask, apart, bed_of, pixels
from tagger.imaging.card.card_edges import CARD_MM, MM, Edges, NoEdges
from tagger.imaging.card.lines import LIGHT
from tagger.imaging.card.rough_sides import STEP, RoughSides, rough_sides, standing_out

LEAST_MARGIN_MM = 0.5
AT_RIM = 3  # rough pixels from a scan's edge, and from a side, that are near it
MISSING_MM, MOST_MISSING_MM = 1.6, 12.0  # of a card that goes on where none of it is seen
FAINT_RIM = 5.0  # levels that paper at a scan's edge is off a light bed
REACHED = 0.25  # of a scan's edge: where the card takes more of it, it goes on beyond
_NAMES = ("left", "upper", "right", "lower")


@dataclass(frozen=True)
class Extent:
    """What is seen of the card: the scan's sides that it reaches, and its width and height in mm, 0
    where not known."""

    reached: tuple[str, ...] = ()
    size: tuple[float, float] = (0.0, 0.0)


def seen_of(
    picture: Image.Image,
    edges: Edges | NoEdges,
    dpi: float | None,
    size: tuple[float, float] = CARD_MM,
) -> Extent:
    """What a scan shows of its card, and at which of its sides the card goes on or ends. `size`: of
    the card that is looked for, in mm."""
    if isinstance(edges, Edges):
        tight = _tight_sides(picture, edges)
        if tight is not None:
            return Extent(tuple(tight), (edges.width, edges.height))
    # Corners beyond the scan are assumed: what is there of the card is looked at instead.
    found, touched, faint, part = _outline(picture)
    if dpi is None or found is None:
        return Extent(tuple(name for name in _NAMES if name in touched))
    mm = part / dpi * MM
    shown = (found.across * mm, found.down * mm)
    wanted = sorted(size, reverse=shown[0] > shown[1])
    for at, name in enumerate(_NAMES):
        # Where the paper is like the bed it is not seen to go on, but there is too little of it.
        missing = wanted[at % 2] - shown[at % 2]
        if name in faint and MISSING_MM < missing < MOST_MISSING_MM:
            touched.add(name)
    return Extent(tuple(name for name in _NAMES if name in touched), shown)


def _tight_sides(picture: Image.Image, edges: Edges) -> list[str] | None:
    """The sides beside which the scan shows too little; None where the card goes beyond it."""
    room = LEAST_MARGIN_MM / MM * edges.dpi
    xs, ys = zip(*edges.corners, strict=True)
    gaps = (min(xs), min(ys), picture.width - max(xs), picture.height - max(ys))
    if min(gaps) < -room:
        return None
    return [name for name, gap in zip(_NAMES, gaps, strict=True) if gap < room]


def _outline(picture: Image.Image) -> tuple[RoughSides | None, set[str], set[str], float]:
    """The sides of what stands out; which of the scan's edges it is seen to reach, and which its
    sides run up to; and how many of the scan's pixels are one of those sides'."""
    factor = STEP * max(1, round(max(picture.size) / 1200))
    seen = pixels(picture.reduce(factor))
    bed = bed_of(seen, 2)
    found = rough_sides(seen, bed)
    if isinstance(found, NoEdges):
        return None, set(), set(), 1.0
    away = apart(seen, bed)
    least = FAINT_RIM if bed.level > LIGHT else 12.0
    mask = away > max(least, 6.0 * bed.noise)
    rims = (mask[:, 0], mask[0], mask[:, -1], mask[-1])
    touched = {name for name, rim in zip(_NAMES, rims, strict=True) if float(rim.mean()) > REACHED}
    return found, touched, _run_up_to(away > standing_out(bed), found), factor / STEP


def _run_up_to(mask: Mask, found: RoughSides) -> set[str]:
    """The edges of a mask that both sides across run up to, in its pixels: of paper that is like
    the bed no more is seen there. A streak is one line."""
    high, wide = (length * STEP for length in mask.shape)
    columns, rows = (found.left, found.right), (found.upper, found.lower)
    rims = (
        (mask[:, :AT_RIM].any(axis=1), rows, 0),
        (mask[:AT_RIM].any(axis=0), columns, 0),
        (mask[:, -AT_RIM:].any(axis=1), rows, wide),
        (mask[-AT_RIM:].any(axis=0), columns, high),
    )
    out = set()
    for name, (rim, sides, at) in zip(_NAMES, rims, strict=True):
        ends = np.flatnonzero(rim)[[0, -1]] if rim.any() else np.zeros(2)
        places = [float(side.place(at)) / STEP for side in sides]
        if np.abs(ends - places).max() <= AT_RIM:
            out.add(name)
    return out
