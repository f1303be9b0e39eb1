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
from functools import partial
from itertools import product
from typing import TYPE_CHECKING

from PIL import Image

from tagger.core.audit.card_size import COMMON, is_of_size
from tagger.imaging.card.around.holders import held_by
from tagger.imaging.card.around.stripes import without_stripes
from tagger.imaging.card.background import Bed, bed_of
from tagger.imaging.card.beside_sides import film_sides, goes_on
from tagger.imaging.card.card_edges import CARD_MM, MM, Edges, NoEdges, side_lengths
from tagger.imaging.card.card_side import CardScale
from tagger.imaging.card.card_sides import ASSUMED, SIZE_OFF_MM, Sides, card_of, refined_sides
from tagger.imaging.card.edge_pairs import (
    BothSides,
    EdgePair,
    Plane,
    edge_pairs,
    lines_beside,
    score_together,
)
from tagger.imaging.card.lines import LIGHT, Pixels
from tagger.imaging.card.rough_sides import RoughSides, rough_sides
from tagger.imaging.card.working_picture import WorkingPicture, working_picture

if TYPE_CHECKING:
    from tagger.imaging.seen_levels import SeenLevels

LEAST_LIGHT, LIGHT_OFF_MM = 0.65, 0.4  # two bounds of Sides for a light bed
PLAUSIBLE = (38.0, 160.0)  # mm: the short side at least, the long side at most
OTHER_MM = 1.3  # off the known size: nearer than that a card is of the known one
BETTER = 0.3  # by which the lines fit another common size better, where they are said to be its
DARK = 60.0  # levels of a bed on which shadows are hardly seen
CUT_MM = 0.25  # off its size, within which a card is cut
BEYOND_MM = 1.5  # that a corner lies outside of the picture, at most
USUAL_DPI = (100.0, 150.0, 200.0, 240.0, 300.0, 400.0, 600.0, 1200.0)  # of scanners; no source
NEAR_USUAL = 0.035  # of them: shadows and stretching let a card seem larger by that
TRIED = 4  # pairs of sides that are tried with each other: the best ones

Planes = tuple[Plane, Plane]


def find_edges(
    picture: Image.Image,
    dpi: float | None = None,
    *,
    size: tuple[float, float] = CARD_MM,
    bed: Bed | None = None,
    own_size: bool = False,
) -> Edges | NoEdges:
    """The edges of the one card on a scan.

    `picture` is RGB, `dpi` what its file says (None: unknown, it is estimated from the known size,
    which then proves nothing about the card's size). `size` is the card's short and long side in
    mm. `bed` is the colour around it where that is known already, as on a sheet; otherwise it is
    read off the scan's rim. `own_size`: where there is no card of that size, one of any other whose
    four sides stand out will do."""
    work = working_picture(picture, dpi or _guess(picture))
    seen, behind = work.rough(), bed
    if behind is None:
        work, seen, behind = _on_even_bed(work, seen)
    rough = rough_sides(seen, behind)
    if isinstance(rough, NoEdges):
        return rough
    placed = partial(_placed, work, behind, rough)
    if dpi is not None:
        return placed(CardScale(dpi / work.factor, size, known=True), own_size)
    dots = rough.dots(size)
    usual = usual_dpi(dots * work.factor)
    if usual is not None:
        found = placed(CardScale(usual / work.factor, size, known=True), own_size)
        if isinstance(found, Edges) and is_of_size(found.short_and_long, size, SIZE_OFF_MM):
            return found
    return placed(CardScale(dots, size, known=False), own_size)


def usual_dpi(guess: float, near: float = NEAR_USUAL) -> float | None:
    """The dots per inch that a scanner was most likely set to, of which a card of the usual size
    tells about so many; None where they are farther from any than this part of them."""
    usual = min(USUAL_DPI, key=lambda one: abs(one - guess))
    return usual if abs(guess / usual - 1) <= near else None


def _placed(
    work: WorkingPicture, behind: Bed, rough: RoughSides, scale: CardScale, own_size: bool
) -> Edges | NoEdges:
    """The edges in pixels of the picture."""
    if scale.dots <= 0:  # what stands out is a line, and no card
        return NoEdges("size", "")
    unlike = _is_no_card(rough, scale)
    if unlike is not None and not (own_size and _other_size(rough, scale)):
        return unlike
    levels = work.levels()
    found = _within(_found(levels, behind, rough, scale, own_size), levels)
    if isinstance(found, NoEdges):
        return found.resized(work.factor)
    around = held_by(levels, behind, rough, found, scale)
    return replace(found.enlarged(work.factor), around=around)


def _on_even_bed(work: WorkingPicture, seen: Pixels) -> tuple[WorkingPicture, Pixels, Bed]:
    """The picture and the rough one, `seen`, without the stripes of the bed, and the bed."""
    behind = bed_of(seen)
    even = without_stripes(work.held, seen, behind)
    if even is None:
        return work, seen, behind
    work = replace(work, held=even)
    seen = work.rough()
    return work, seen, bed_of(seen)


def _found(
    levels: SeenLevels, behind: Bed, rough: RoughSides, scale: CardScale, own_size: bool
) -> Edges | NoEdges:
    """The edges in pixels of the working picture."""
    planes = _planes(levels, rough)
    found = _search(planes, behind, rough, scale)
    if not own_size or (isinstance(found, Edges) and found.contrast and behind.level <= LIGHT):
        return found
    return _of_own_size(planes, behind, rough, scale, found)


def _within(found: Edges | NoEdges, levels: SeenLevels) -> Edges | NoEdges:
    """Edges, but none of which a corner lies so far outside of the picture that a side was assumed
    there, where in truth another one is not seen."""
    if isinstance(found, NoEdges):
        return found
    high, wide = levels.shape
    most = BEYOND_MM / MM * found.dpi
    inside = [-most <= x <= wide + most and -most <= y <= high + most for x, y in found.corners]
    if all(inside):
        return found
    return NoEdges("unclear", "a side beyond the picture", found.corners, found.seen)


def _if_not_faint(found: Edges | NoEdges, scale: CardScale) -> Edges | NoEdges:
    if isinstance(found, NoEdges):
        return found
    off = scale.off(found.width, found.height)
    if found.confidence >= LEAST_LIGHT and off <= LIGHT_OFF_MM:
        return found
    return NoEdges("unclear", "light bed", found.corners, found.seen)


def _guess(picture: Image.Image) -> float:
    """Dots per inch of a scan that says nothing, if a card fills most of it."""
    return max(picture.size) / (CARD_MM[1] / MM)


def _planes(work: SeenLevels, rough: RoughSides) -> Planes:
    """The picture with left and right running down it, and with upper and lower."""
    x, y = rough.middle
    down_the_side = _inner(float(rough.upper.place(x)), float(rough.lower.place(x)))
    across_it = _inner(float(rough.left.place(y)), float(rough.right.place(y)))
    upright = Plane(work, down_the_side, y, turned=False)
    return upright, Plane(work.turned(), across_it, x, turned=True)


def _search(planes: Planes, bed: Bed, rough: RoughSides, scale: CardScale) -> Edges | NoEdges:
    """The four sides to a fraction of a pixel, from the rough ones."""
    unlike = _is_no_card(rough, scale)
    if unlike is not None:
        return unlike
    across, down = rough.across, rough.down
    width, height = _lying(rough, scale)
    upright, lying = planes
    light, known = bed.level > LIGHT, not scale.guessed
    columns = lines_beside(
        upright, bed, (rough.left, rough.right), width if known else None, across
    )
    rows = lines_beside(lying, bed, (rough.upper, rough.lower), height if known else None, down)
    if not all(columns) or not all(rows):
        return NoEdges("unclear", "no line on a side")
    tried = {
        one: _best_pairs(upright, columns, lying, rows, _wanted(rough, one))
        for one in (scale, *_alike(scale))
    }
    # The size that is looked for, unless another common one fits the lines far better.
    own = max(tried, key=lambda one: tried[one][1] - BETTER * (one is not scale))
    sides = refined_sides(*tried[own][0], _wanted(rough, own), light=light)
    if bed.level <= DARK:
        sides, own = _beyond_print(sides, scale, own)
    found = card_of(sides, own)
    # Paper and a light bed are hardly told apart, so that more is asked of what is found there.
    return _if_not_faint(found, own) if light and known else found


def _beyond_print(sides: Sides, scale: CardScale, own: CardScale) -> tuple[Sides, CardScale]:
    """The sides moved to fainter ones outside of print along them, and the size that has them
    there: the one that is looked for, or their own; else, and where they fit their own as they are,
    that one."""
    if scale.guessed or own.off(*sides.size(own)) <= CUT_MM:
        return sides, own
    for one in (scale, own):
        moved = sides.beyond_print(one)
        if moved is not sides:
            return moved, one
    return sides, own


def _alike(scale: CardScale) -> list[CardScale]:
    """The other common sizes that a card may have which is looked for by the usual one."""
    if not scale.known or scale.guessed or scale.size != CARD_MM:
        return []
    return [replace(scale, size=size) for size in COMMON if size != scale.size]


def _wanted(rough: RoughSides, scale: CardScale) -> tuple[float | None, float | None]:
    return (None, None) if scale.guessed else _lying(rough, scale)


def _best_pairs(
    upright: Plane,
    columns: BothSides,
    lying: Plane,
    rows: BothSides,
    wanted: tuple[float | None, float | None],
) -> tuple[tuple[EdgePair, EdgePair], float]:
    """The lines that best make a card of this width and height in pixels, and how well they do."""
    across = edge_pairs(upright, columns, wanted[0])[:TRIED]
    down = edge_pairs(lying, rows, wanted[1])[:TRIED]
    best = max(product(across, down), key=lambda both: score_together(*both))
    return best, score_together(*best)


def _lying(rough: RoughSides, scale: CardScale) -> tuple[float, float]:
    """The known width and height in pixels of a card that lies as what stands out."""
    if rough.across > rough.down:
        return scale.long, scale.short
    return scale.short, scale.long


def _is_no_card(rough: RoughSides, scale: CardScale) -> NoEdges | None:
    """Much larger or smaller than a card is something else, and no line of it would be a side."""
    width, height = _lying(rough, scale)
    lean = (width - rough.across, height - rough.down)
    if max(lean) <= 0.45 * scale.short and min(lean) >= -0.6 * scale.short:
        return None
    across, down = (length / scale.dots * MM for length in (rough.across, rough.down))
    return NoEdges("size", f"{across:.0f} x {down:.0f} mm")


def _of_own_size(
    planes: Planes, bed: Bed, rough: RoughSides, scale: CardScale, found: Edges | NoEdges
) -> Edges | NoEdges:
    """The edges of a card of another size than the known one, where all four sides stand out from a
    bed that goes on around them; else what there is of the known size, which is `found`, and what
    size the lines are that were seen.

    What stands out may be the inner frame of a card that is as dark or as white as the bed. So
    paper is never told from a light bed, and beyond the sides the level must be the bed's own."""
    size = _own_size(bed, rough, scale, found)
    if size is None:
        return found
    other = _search(planes, bed, rough, CardScale(scale.dots, size, known=True, guessed=True))
    work = planes[0].levels
    lines = other.lines if isinstance(other, NoEdges) else other.corners
    film = 0 if lines is None else film_sides(work, bed, lines, scale.dots)
    if isinstance(other, Edges) and film < 4 and _is_rather(work, bed, other, found):
        return other
    # Two sides of a sleeve and two of the card in it make a size that is neither's; four sides may
    # be those of a card with a dark border, where none is found within.
    if lines is None or film in (2, 3) or (film == 4 and isinstance(found, Edges)):
        return found
    width, height = (length / scale.dots * MM for length in side_lengths(lines))
    if isinstance(found, NoEdges):
        return found._replace(lines=lines, size=(width, height))
    if bed.level > LIGHT and _is_print_of(found, width, height, scale):
        return NoEdges("size", f"{width:.1f} x {height:.1f} mm", lines, size=(width, height))
    return found


def _is_print_of(found: Edges, width: float, height: float, scale: CardScale) -> bool:
    """Whether edges of the known size are print on a card of another one: on a light bed print that
    is as far apart as the known size asks looks like a card in it."""
    if scale.off(width, height) < OTHER_MM:
        return False
    return min(width - found.width, height - found.height) >= -OTHER_MM


def _own_size(
    bed: Bed, rough: RoughSides, scale: CardScale, found: Edges | NoEdges
) -> tuple[float, float] | None:
    """The size in mm of what stands out, where it can be that of a card, and another one than the
    known."""
    size = _other_size(rough, scale)
    # On a light bed a shadow stands out as well, so that a smaller card may seem of the known size.
    if size is None and bed.level > LIGHT and isinstance(found, NoEdges):
        return _plausible(rough, scale)
    return size


def _other_size(rough: RoughSides, scale: CardScale) -> tuple[float, float] | None:
    """The size in mm of what stands out, where it can be that of a card, and is not the known
    one."""
    size = _plausible(rough, scale)
    return size if size is not None and scale.off(*size) >= OTHER_MM else None


def _plausible(rough: RoughSides, scale: CardScale) -> tuple[float, float] | None:
    """The size in mm of what stands out, where it can be that of a card."""
    if not scale.known:
        return None
    short, long = sorted(px / scale.dots * MM for px in (rough.across, rough.down))
    return (short, long) if PLAUSIBLE[0] <= short and long <= PLAUSIBLE[1] else None


def _is_rather(work: SeenLevels, bed: Bed, other: Edges, found: Edges | NoEdges) -> bool:
    """Whether it is a card of another size that stands out on four sides, rather than none, or one
    of the known size of which a side is not seen: the larger of the two."""
    if bed.level > LIGHT or not other.contrast or other.confidence < LEAST_LIGHT:
        return False
    if not goes_on(work, bed, other):
        return False
    # A side that was assumed where nothing is seen says less than one that is.
    if isinstance(found, NoEdges) or found.confidence <= ASSUMED:
        return True
    return min(other.width - found.width, other.height - found.height) >= -OTHER_MM


def _inner(low: float, high: float) -> tuple[float, float]:
    """The middle part of a side, where its corners do not matter."""
    inset = 0.07 * (high - low)
    return low + inset, high - inset
