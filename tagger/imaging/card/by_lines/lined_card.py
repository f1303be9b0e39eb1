"""A card by its lines alone, where nothing of it stands out from the bed: the rectangle on the scan
that has the known size, and its sides to a fraction of a pixel."""

from __future__ import annotations

import math
from collections.abc import Sequence

from PIL import Image

from tagger.core.audit.card_size import COMMON, LIKE_LOT, is_of_size
from tagger.imaging.card.by_lines.rectangles import Rectangle, rectangles
from tagger.imaging.card.card_edges import CARD_MM, MM, Corners, Edges, NoEdges, side_lengths
from tagger.imaging.card.card_side import CardScale, CardSide
from tagger.imaging.card.card_sides import Sides, card_of
from tagger.imaging.card.edge_pairs import Plane
from tagger.imaging.card.lines import FittedLine
from tagger.imaging.card.refined_line import refine
from tagger.imaging.card.working_picture import working_picture

SURE, SEEN = 0.7, 0.75  # scores of a rectangle of the known size, and of one of any other
AS_SURE = 0.05  # by which a larger rectangle around one is less sure, at most, to be the card
PLAUSIBLE = (38.0, 160.0)  # mm: the short side at least, the long side at most
SHAPE = 0.012  # of the ratio of its sides, by which a card is of the known shape
FRAMED = 0.5  # score of a rectangle at least, of which a smaller one may be a frame
# Of the long side, by which corners are the same; by how much less edges may be borne out than the
# best rectangle there is.
ALIKE, BORNE_OUT = 0.015, 0.1

Size = tuple[float, float]


def lined_card(
    picture: Image.Image, dpi: float | None, size: Size, found: NoEdges
) -> Edges | NoEdges:
    """The card of that size in mm on an RGB picture, or of its shape where the dots per inch are
    not known. Where none is seen, `found` is returned, with the size of what may be a card of
    another size."""
    seen = rectangles(picture)
    if dpi is None:
        return _of_shape(picture, seen, size) or found
    of_size = [one for one in seen if _is_of(one, dpi, size)]
    if of_size and of_size[0].score >= SURE:
        best = of_size[0]
        if any(_is_rather(other, best, dpi) for other in seen):
            return found
        edges = _refined(picture, best, CardScale(dpi, _nearest(best, dpi, size), known=True))
        return edges if isinstance(edges, Edges) else found
    return _with_lines(found, seen, dpi)


def _mm(one: Rectangle, dpi: float) -> Size:
    short, long = sorted(px / dpi * MM for px in one.lengths)
    return short, long


def _common(size: Size) -> Sequence[Size]:
    return COMMON if size == CARD_MM else (size,)


def _is_of(one: Rectangle, dpi: float, size: Size) -> bool:
    return any(is_of_size(_mm(one, dpi), each, LIKE_LOT) for each in _common(size))


def _nearest(one: Rectangle, dpi: float, size: Size) -> Size:
    own = _mm(one, dpi)
    return min(_common(size), key=lambda each: abs(own[0] - each[0]) + abs(own[1] - each[1]))


def _is_rather(other: Rectangle, one: Rectangle, dpi: float) -> bool:
    """Whether a larger rectangle is as much a card's: one may be a frame in its print, or the card
    in a sleeve."""
    if other.score < one.score - AS_SURE:
        return False
    larger = zip(_mm(other, dpi), _mm(one, dpi), strict=True)
    return min(a - b for a, b in larger) > LIKE_LOT


def _of_shape(picture: Image.Image, seen: Sequence[Rectangle], size: Size) -> Edges | None:
    """The card of the known shape, where the dots per inch follow from it. Nothing but its shape
    tells it from a frame, so that there must be no larger rectangle."""
    one = max(
        (one for one in seen if one.score >= FRAMED),
        key=lambda one: _area(one.lengths),
        default=None,
    )
    if one is None or one.score < SEEN:
        return None
    short, long = sorted(one.lengths)
    if abs(short / long / (size[0] / size[1]) - 1) > SHAPE:
        return None
    dots = long / (size[1] / MM)
    edges = _refined(picture, one, CardScale(dots, size, known=False))
    return edges if isinstance(edges, Edges) else None


def borne_out(picture: Image.Image, edges: Edges) -> bool:
    """Whether lines on an RGB picture bear out edges that were found without dots per inch: the
    squares of a mat may lie as a card's sides do, but go on beyond the corners."""
    seen = rectangles(picture)
    if not seen:
        return True
    most = ALIKE * max(side_lengths(edges.corners))
    same = [one.score for one in seen if _is_near(one.corners, edges.corners, most)]
    return max(same, default=0.0) >= seen[0].score - BORNE_OUT


def _is_near(one: Corners, other: Corners, most: float) -> bool:
    return all(math.dist(*both) <= most for both in zip(one, other, strict=True))


def _area(lengths: Size) -> float:
    return lengths[0] * lengths[1]


def _with_lines(found: NoEdges, seen: Sequence[Rectangle], dpi: float) -> NoEdges:
    """Why there are no edges, with the largest rectangle that may be a card of another size, where
    nothing else said one."""
    if found.lines is not None:
        return found
    likely = [one for one in seen if one.score >= max(SEEN, seen[0].score - 2 * AS_SURE)]
    likely = [one for one in likely if _is_plausible(_mm(one, dpi))]
    if not likely:
        return found
    card = max(likely, key=lambda one: _area(one.lengths))
    width, height = card.lengths
    return found._replace(lines=card.corners, size=(width / dpi * MM, height / dpi * MM))


def _is_plausible(size: Size) -> bool:
    return PLAUSIBLE[0] <= size[0] and size[1] <= PLAUSIBLE[1]


def _refined(picture: Image.Image, one: Rectangle, scale: CardScale) -> Edges | NoEdges:
    """The edges beside the sides of a rectangle, in pixels of the picture."""
    work = working_picture(picture, scale.dots)
    levels = work.levels()
    a, b, c, d = ((x / work.factor, y / work.factor) for x, y in one.corners)
    x, y = (a[0] + c[0]) / 2, (a[1] + c[1]) / 2
    upright = Plane(levels, _inner(a[1], d[1]), y, turned=False)
    lying = Plane(levels.turned(), _inner(a[0], b[0]), x, turned=True)
    sides = Sides(
        _side(upright, _line(a, d), 1, one.weakest),
        _side(upright, _line(b, c), -1, one.weakest),
        _side(lying, _line(a[::-1], b[::-1]), 1, one.weakest),
        _side(lying, _line(d[::-1], c[::-1]), -1, one.weakest),
    )
    dots = scale.dots / work.factor
    found = card_of(sides, CardScale(dots, scale.size, scale.known))
    return found.enlarged(work.factor) if isinstance(found, Edges) else found


def _inner(low: float, high: float) -> tuple[float, float]:
    inset = 0.07 * (high - low)
    return low + inset, high - inset


def _line(one: Sequence[float], other: Sequence[float]) -> FittedLine:
    """The line through two points, x over y."""
    slope = (other[0] - one[0]) / (other[1] - one[1])
    return FittedLine(one[0] - slope * one[1], slope)


def _side(plane: Plane, line: FittedLine, inward: int, support: float) -> CardSide:
    found = refine(plane.levels, line, plane.reach, inward)
    return CardSide(found.line, found.agree, found.soft, support, 1.0, plane, inward)
