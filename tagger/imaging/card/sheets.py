"""Several cards on one flatbed scan: where they lie, in reading order, and which back belongs to
which front.

The sheet is looked at an eighth as fine. What stands out from the bed is parted into cards; where a
piece is not as large as one, it is put together or parted by the known size. Each card's edges are
then found as on a scan of its own."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image

from tagger.imaging.card.background import BedPiece, Mask, apart, bed_of, parts, pixels
from tagger.imaging.card.card_edges import CARD_MM, MM, Edges, NoEdges
from tagger.imaging.card.edges import find_edges

if TYPE_CHECKING:
    from tagger.core.model.pose import Point

ROUGH = 8  # pixels of a sheet at 300 dpi to one of the rough picture
ROOM_MM = 1.4  # around a card's rough place, in which its edges are looked for
MOST_CARDS = 24


@dataclass(frozen=True)
class Placed:
    """One card of a sheet.

    `box` is the part of the sheet that it is in (left, upper, right, lower in pixels, with some of
    the bed), `edges` its edges in pixels of the whole sheet, or why there are none."""

    box: tuple[int, int, int, int]
    edges: Edges | NoEdges

    @property
    def middle(self) -> Point:
        """The card's middle in pixels of the sheet."""
        if isinstance(self.edges, Edges):
            xs, ys = zip(*self.edges.corners, strict=True)
            return sum(xs) / 4, sum(ys) / 4
        return (self.box[0] + self.box[2]) / 2, (self.box[1] + self.box[3]) / 2


def find_cards(
    sheet: Image.Image, dpi: float, *, size: tuple[float, float] = CARD_MM
) -> list[Placed]:
    """The cards on an RGB sheet, in reading order: rows from above, in each from the left.

    `dpi` is dots per inch; `size` is the short and long side of a card in mm. Without cards the
    list is empty."""
    factor = max(1, round(dpi / 300)) * ROUGH
    seen = pixels(sheet.reduce(factor))
    bed = bed_of(seen)
    mask = apart(seen, bed) > min(22.0, max(9.0, 6.0 * bed.noise))
    dots = dpi / factor
    short, long = (length / MM * dots for length in size)
    boxes = _boxes(mask, short, long)
    room = ROOM_MM / MM * dpi
    placed = []
    for left, upper, right, lower in boxes[:MOST_CARDS]:
        box = (
            max(0, math.floor(left * factor - room)),
            max(0, math.floor(upper * factor - room)),
            min(sheet.width, math.ceil(right * factor + room)),
            min(sheet.height, math.ceil(lower * factor + room)),
        )
        placed.append(Placed(box, _edges_in(sheet, box, dpi, size)))
    return reading_order(_each_once(placed))


def _each_once(placed: list[Placed]) -> list[Placed]:
    """The cards without those found a second time, by their frame and by their shadow: the surer
    of two in one place."""
    kept: list[Placed] = []
    for one in sorted(placed, key=lambda one: -_confidence(one)):
        if not any(_is_within(one, other) for other in kept):
            kept.append(one)
    return [one for one in placed if one in kept]


def _confidence(one: Placed) -> float:
    return one.edges.confidence if isinstance(one.edges, Edges) else 0.0


def _is_within(one: Placed, other: Placed) -> bool:
    """Whether the middle of one card is in another that was found."""
    if isinstance(one.edges, NoEdges) or isinstance(other.edges, NoEdges):
        return False
    x, y = (sum(at) / 4 for at in zip(*one.edges.corners, strict=True))
    xs, ys = zip(*other.edges.corners, strict=True)
    return min(xs) < x < max(xs) and min(ys) < y < max(ys)


def _edges_in(
    sheet: Image.Image, box: tuple[int, int, int, int], dpi: float, size: tuple[float, float]
) -> Edges | NoEdges:
    """The edges of the card in a part of a sheet, in pixels of the sheet."""
    edges = find_edges(sheet.crop(box), dpi, size=size)
    if isinstance(edges, NoEdges):
        return edges
    return _moved(edges, box[0], box[1])


def _moved(edges: Edges, x: float, y: float) -> Edges:
    a, b, c, d = ((at[0] + x, at[1] + y) for at in edges.corners)
    return replace(edges, corners=(a, b, c, d))


Box = tuple[float, float, float, float]


def _boxes(mask: Mask, short: float, long: float) -> list[Box]:
    """Boxes in rough pixels, one a card."""
    whole: list[Box] = []
    bits: list[Box] = []
    for piece in parts(mask, max(4, round(0.004 * short * long))):
        low, high = sorted((piece.right - piece.left, piece.lower - piece.upper))
        box = (float(piece.left), float(piece.upper), float(piece.right), float(piece.lower))
        if high > 1.3 * long or low > 1.3 * short:
            whole += _parted(mask, piece, short, long)
        elif low > 0.85 * short and high > 0.85 * long:
            whole.append(box)
        else:
            bits.append(box)
    return whole + _put_together(bits, whole, short, long)


def _parted(mask: Mask, piece: BedPiece, short: float, long: float) -> list[Box]:
    """A piece that is several cards whose shadows touch, parted at the emptiest columns and
    rows."""
    part = np.zeros((piece.lower - piece.upper, piece.right - piece.left), dtype=bool)
    for y, first, past in piece.runs:
        part[y - piece.upper, first - piece.left : past - piece.left] = True
    out: list[Box] = []
    for left, right in pairwise(_cuts(part.sum(axis=0), short, long)):
        column = part[:, left:right]
        for upper, lower in pairwise(_cuts(column.sum(axis=1), short, long)):
            cell = column[upper:lower]
            # What is left between cards, and a shadow, is no card.
            if cell.sum() > 0.3 * short * long:
                ys, xs = np.nonzero(cell)
                x, y = piece.left + left, piece.upper + upper
                out.append((x + xs.min(), y + ys.min(), x + xs.max() + 1.0, y + ys.max() + 1.0))
    return [(float(a), float(b), float(c), float(d)) for a, b, c, d in out]


def _cuts(
    filled: np.ndarray[tuple[int, ...], np.dtype[np.int64]], short: float, long: float
) -> list[int]:
    """Where to cut a run of columns (or rows) so that each part is about as long as one side of a
    card."""
    length = len(filled)
    # Cards that touch are a little farther apart than they are long: their shadows lie between.
    counts = {side: max(1, round(length / (side * 1.04))) for side in (short, long)}
    side = min(counts, key=lambda side: abs(length / counts[side] - side * 1.04) / side)
    step = length / counts[side]
    cuts = []
    for at in range(1, counts[side]):
        low, high = int(at * step - 0.12 * side), int(at * step + 0.12 * side) + 1
        cuts.append(low + int(np.argmin(filled[low:high])))
    return [0, *cuts, length]


def _put_together(bits: list[Box], whole: list[Box], short: float, long: float) -> list[Box]:
    """Cards of which only parts stand out from the bed, each put together from bits that fit into
    one card."""
    out: list[Box] = []
    left = [bit for bit in bits if not any(_within(bit, card) for card in whole)]
    while left:
        box = left.pop(0)
        while (other := _fitting(box, left, short, long)) is not None:
            left.remove(other)
            box = _joined(box, other)
        low, high = sorted((box[2] - box[0], box[3] - box[1]))
        if low > 0.7 * short and high > 0.7 * long:
            out.append(box)
    return out


def _fitting(box: Box, bits: list[Box], short: float, long: float) -> Box | None:
    """The first of the bits that lies on one card with a box, None where none does."""
    for bit in bits:
        left, upper, right, lower = _joined(box, bit)
        low, high = sorted((right - left, lower - upper))
        if low <= 1.06 * short and high <= 1.06 * long:
            return bit
    return None


def _joined(one: Box, other: Box) -> Box:
    return (
        min(one[0], other[0]),
        min(one[1], other[1]),
        max(one[2], other[2]),
        max(one[3], other[3]),
    )


def _within(bit: Box, card: Box) -> bool:
    return bit[0] < card[2] and bit[2] > card[0] and bit[1] < card[3] and bit[3] > card[1]


def reading_order(cards: Sequence[Placed]) -> list[Placed]:
    """Rows from above, and in each row from the left: a card belongs to a row if its middle is
    higher than the lower third of the row's first card."""
    rest = sorted(cards, key=lambda card: card.middle[1])
    out: list[Placed] = []
    while rest:
        first = rest[0]

        height = first.box[3] - first.box[1]
        row = [card for card in rest if card.middle[1] - first.middle[1] < 0.5 * height]
        out += sorted(row, key=lambda card: card.middle[0])
        rest = [card for card in rest if card not in row]
    return out


@dataclass(frozen=True)
class SheetMatch:
    """How the sheet of backs was turned over, and which of its cards is whose back.

    `turned` is `long side` (as a page of a book), `short side` (as a page of a calendar) or `not`
    (each card turned over in its place). `backs` has for each front, in reading order, the index of
    its back, None where there is none. `off` is by how many mm the cards are out of place on
    average; `ask`: another way fits nearly as well."""

    turned: str
    backs: tuple[int | None, ...]
    off: float
    ask: bool


def match_sheets(
    fronts: Sequence[Placed], backs: Sequence[Placed], sheet: tuple[int, int], dpi: float
) -> SheetMatch | None:
    """Which back belongs to which front. `sheet` is the width and height of both scans in pixels,
    `dpi` dots per inch.

    A sheet turned over as a whole shows its cards mirrored, left for right along its upright side
    and top for bottom along the level one; cards lie a little uneven, which tells the ways apart
    even on a full sheet. None without cards."""
    # With nothing to lay on each other every way of turning fits as well.
    if not fronts or not backs:
        return None
    # The side along which a sheet is turned over stays where it is, and so mirrors the other way.
    across, down = "long side", "short side"
    if sheet[0] >= sheet[1]:
        across, down = down, across
    ways = {across: (True, False), down: (False, True), "not": (False, False)}
    fits = [_fit(fronts, backs, name, mirrored) for name, mirrored in ways.items()]
    best, *others = sorted(fits, key=lambda fit: (-fit.found, fit.off))
    # Cards that lie very even fit nearly as well either way round.
    near = best.off * 2 + 0.15 / MM * dpi
    ask = any(fit.found == best.found and fit.off < near for fit in others)
    return SheetMatch(best.turned, best.backs, best.off / dpi * MM, ask)


@dataclass(frozen=True)
class _Fit:
    """One way of turning a sheet over, and how well its backs lie on the fronts: which back each
    front has, and how far they are apart in pixels, on average."""

    turned: str
    off: float
    backs: tuple[int | None, ...]

    @property
    def found(self) -> int:
        """How many fronts have a back."""
        return sum(at is not None for at in self.backs)


def _fit(
    fronts: Sequence[Placed], backs: Sequence[Placed], turned: str, mirrored: tuple[bool, bool]
) -> _Fit:
    """The best way to lay the backs, mirrored so, on the fronts."""
    here = [card.middle for card in fronts]
    there = [_mirrored(card.middle, mirrored) for card in backs]
    boxes = [card.box for card in (*fronts, *backs)]
    # Less than half a card: farther off a back lies rather on the next front.
    reach = 0.45 * min(min(box[2] - box[0], box[3] - box[1]) for box in boxes)
    # The sheet may lie elsewhere on the bed the second time: the way between the two that most
    # pairs agree on is taken.
    moves = [(a[0] - b[0], a[1] - b[1]) for a in here for b in there]
    fits = [_laid(turned, here, there, _pairs(here, there, move, reach)) for move in moves]
    return max(fits, key=lambda fit: (fit.found, -fit.off))


def _laid(turned: str, here: list[Point], there: list[Point], backs: list[int | None]) -> _Fit:
    """The fit that some pairs make, once the sheet is moved to where they agree best."""
    ways = [(here[i], there[j]) for i, j in enumerate(backs) if j is not None]
    # The median: one card that slid while the sheet was turned over must not move the others.
    move = tuple(float(np.median([one[k] - other[k] for one, other in ways])) for k in (0, 1))
    off = [math.dist(one, (other[0] + move[0], other[1] + move[1])) for one, other in ways]
    return _Fit(turned, float(np.mean(off)), tuple(backs))


def _mirrored(at: Point, mirrored: tuple[bool, bool]) -> Point:
    return (-at[0] if mirrored[0] else at[0]), (-at[1] if mirrored[1] else at[1])


def _pairs(here: list[Point], there: list[Point], move: Point, reach: float) -> list[int | None]:
    """For each place the nearest of the others, moved, that nothing else has taken; None beyond the
    reach."""
    free = {at: (x + move[0], y + move[1]) for at, (x, y) in enumerate(there)}
    out: list[int | None] = []
    for at in here:
        near = min(free, key=lambda j: math.dist(at, free[j]), default=None)
        if near is None or math.dist(at, free[near]) > reach:
            out.append(None)
        else:
            out.append(near)
            del free[near]
    return out
