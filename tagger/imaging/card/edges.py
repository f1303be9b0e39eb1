"""Where a card lies on its scan: four corners to a fraction of a pixel, or a reason why that cannot
be said.

What stands out from the scanner's bed gives a rough place; beside each rough side all continuous
lines are looked for, and of these the four are taken that make a card of the known size (63.5 x
88.9 mm, which is 2.5 x 3.5 in: common practice). An inner frame has a straight edge too, but not
that size. A result that does not hold together is not given.

Corners are pixels of the scan as it was given, with (0, 0) at the outer corner of the first pixel.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import numpy as np
from PIL import Image

from tagger.imaging.card.background import Bed, Levels, bed_of, pixels
from tagger.imaging.card.card_edges import CARD_MM, MM, Edges, NoEdges
from tagger.imaging.card.card_sides import WORK_DPI, CardScale, card_of, refined_sides
from tagger.imaging.card.edge_pairs import Plane, edge_pairs, score_together
from tagger.imaging.card.rough_sides import STEP, RoughSides, rough_sides

LIGHT, LEAST_LIGHT, LIGHT_OFF_MM = 200, 0.65, 0.4  # levels; two bounds of Sides for a light bed
TRIED = 4  # pairs of sides that are tried with each other: the best ones


def find_edges(
    picture: Image.Image,
    dpi: float | None = None,
    *,
    size: tuple[float, float] = CARD_MM,
    bed: Bed | None = None,
) -> Edges | NoEdges:
    """The edges of the one card on a scan.

    `picture` is RGB, `dpi` what its file says (None: unknown, it is estimated from the known size,
    which then proves nothing about the card's size). `size` is the card's short and long side in
    mm. `bed` is the colour around it where that is known already, as on a sheet; otherwise it is
    read off the scan's rim."""
    work, factor = _working(picture, dpi or _guess(picture))
    seen = pixels(work.reduce(STEP))
    behind = bed or bed_of(seen)
    rough = rough_sides(seen, behind)
    if isinstance(rough, NoEdges):
        return rough
    dots = rough.dots(size) if dpi is None else dpi / factor
    if dots <= 0:  # what stands out is a line, and no card
        return NoEdges("size", "")
    scale = CardScale(dots, size, known=dpi is not None)
    found = _search(np.asarray(work), behind, rough, scale)
    if isinstance(found, NoEdges):
        return found
    # Paper and a light bed are hardly told apart, so that more is asked of what is found there.
    if behind.level > LIGHT and _faint(found, scale):
        return NoEdges("unclear", "light bed")
    return _enlarged(found, factor)


def _working(picture: Image.Image, dpi: float) -> tuple[Image.Image, float]:
    """The picture at about WORK_DPI, and how many of its pixels are one of that: a whole number, or
    one over it."""
    # By whole numbers, so that each pixel is the mean of as many and none is blurred.
    if dpi >= 1.5 * WORK_DPI:
        return picture.reduce(round(dpi / WORK_DPI)), float(round(dpi / WORK_DPI))
    if 20 < dpi <= 0.6 * WORK_DPI:
        more = round(WORK_DPI / dpi)
        size = (picture.width * more, picture.height * more)
        return picture.resize(size, Image.Resampling.BICUBIC), 1 / more
    return picture, 1.0


def _faint(found: Edges, scale: CardScale) -> bool:
    return found.confidence < LEAST_LIGHT or scale.off(found.width, found.height) > LIGHT_OFF_MM


def _enlarged(found: Edges, factor: float) -> Edges:
    """The same edges in pixels of a picture that is so many times as fine."""
    if factor == 1.0:
        return found
    a, b, c, d = ((x * factor, y * factor) for x, y in found.corners)
    return replace(found, corners=(a, b, c, d), dpi=found.dpi * factor)


def _guess(picture: Image.Image) -> float:
    """Dots per inch of a scan that says nothing, if a card fills most of it."""
    return max(picture.size) / (CARD_MM[1] / MM)


def _search(work: Levels, bed: Bed, rough: RoughSides, scale: CardScale) -> Edges | NoEdges:
    """The four sides to a fraction of a pixel, from the rough ones."""
    across, down = rough.across, rough.down
    width, height = scale.short, scale.long
    if across > down:
        width, height = height, width
    lean = (width - across, height - down)
    # Much larger or smaller is something else than one card, and no line of it would be a side.
    if max(lean) > 0.45 * scale.short or min(lean) < -0.6 * scale.short:
        return NoEdges("size", f"{across / scale.dots * MM:.0f} x {down / scale.dots * MM:.0f} mm")
    x, y = rough.middle
    down_the_side = _inner(float(rough.upper.place(x)), float(rough.lower.place(x)))
    across_it = _inner(float(rough.left.place(y)), float(rough.right.place(y)))
    upright = Plane(work, down_the_side, y, turned=False)
    lying = Plane(work.transpose(1, 0, 2), across_it, x, turned=True)
    columns = edge_pairs(upright, bed, (rough.left, rough.right), width, across)
    rows = edge_pairs(lying, bed, (rough.upper, rough.lower), height, down)
    if not columns or not rows:
        return NoEdges("unclear", "no line on a side")
    best = max(product(columns[:TRIED], rows[:TRIED]), key=lambda both: score_together(*both))
    return card_of(refined_sides(*best), scale)


def _inner(low: float, high: float) -> tuple[float, float]:
    """The middle part of a side, where its corners do not matter."""
    inset = 0.07 * (high - low)
    return low + inset, high - inset
