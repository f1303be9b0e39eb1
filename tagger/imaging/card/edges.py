"""Where a card lies on its scan: four corners to a fraction of a pixel, or a reason why that cannot
be said.

What stands out from the scanner's bed gives a rough place; beside each rough side all continuous
lines are looked for, and of these the four are taken that make a card of the known size (63.5 x
88.9 mm, which is 2.5 x 3.5 in: common practice). An inner frame has a straight edge too, but not
that size. A result that does not hold together is not given.

Corners are pixels of the scan as it was given, with (0, 0) at the outer corner of the first pixel.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import product

import numpy as np
from PIL import Image

from tagger.core.model.pose import Point
from tagger.imaging.card.background import Bed, Levels, Mask, Pixels, apart, bed_of, parts, pixels
from tagger.imaging.card.card_edges import CARD_MM, MM, Corners, Edges, NoEdges
from tagger.imaging.card.lines import EdgeLine, FittedLine, Side, candidates, fit, refine, strip

WORK_DPI = 300  # finer scans are made smaller first: their edges are no sharper
STEP = 4  # pixels of the working picture to one of the rough one
LEAST = 0.5  # confidence below which no edges are given
CLEAR_OFF_MM = 1.3  # how far a card may be from the known size where the bed is seen on all sides
SOFT, MOST_SOFT = 0.5, 7.0  # see _fitted; pixels at 300 dpi
LIGHT, LEAST_LIGHT, LIGHT_OFF_MM = 200, 0.65, 0.4  # levels; the same two bounds for a light bed
# how far a card may be from the known size where only the size tells its edge from a frame
SIZE_OFF_MM = 0.75


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
    rough = _rough(seen, behind)
    if isinstance(rough, NoEdges):
        return rough
    known = dpi is not None
    dots = dpi / factor if dpi is not None else rough.dots(size)
    found = _search(np.asarray(work), behind, rough, dots, size, known)
    if isinstance(found, Edges) and behind.level > LIGHT and _faint(found, size):
        return NoEdges("unclear", "light bed")
    if isinstance(found, NoEdges) or factor == 1.0:
        return found
    corners = tuple((x * factor, y * factor) for x, y in found.corners)
    scaled = (corners[0], corners[1], corners[2], corners[3])
    return Edges(
        scaled,
        found.angle,
        found.width,
        found.height,
        found.dpi * factor,
        found.confidence,
        found.contrast,
    )


def _working(picture: Image.Image, dpi: float) -> tuple[Image.Image, float]:
    """The picture at about WORK_DPI, and how many of its pixels are one of that: a whole number, or
    one over it."""
    if dpi >= 1.5 * WORK_DPI:
        return picture.reduce(round(dpi / WORK_DPI)), float(round(dpi / WORK_DPI))
    if 20 < dpi <= 0.6 * WORK_DPI:
        more = round(WORK_DPI / dpi)
        size = (picture.width * more, picture.height * more)
        return picture.resize(size, Image.Resampling.BICUBIC), 1 / more
    return picture, 1.0


def _faint(found: Edges, size: tuple[float, float]) -> bool:
    """Whether a result is not good enough for a light bed, where paper and bed are hardly told
    apart."""
    short, long = sorted((found.width, found.height))
    return (
        found.confidence < LEAST_LIGHT
        or max(abs(short - size[0]), abs(long - size[1])) > LIGHT_OFF_MM
    )


def _guess(picture: Image.Image) -> float:
    """Dots per inch of a scan that says nothing, if a card fills most of it."""
    return max(picture.size) / (CARD_MM[1] / MM)


@dataclass(frozen=True)
class _Rough:
    """The four sides (left, right as x over y; upper, lower as y over x) in working pixels,
    roughly."""

    left: FittedLine
    right: FittedLine
    upper: FittedLine
    lower: FittedLine
    box: tuple[float, float, float, float]

    def dots(self, size: tuple[float, float]) -> float:
        """Dots per inch, if this is a card of that size in mm."""
        middle = ((self.box[0] + self.box[2]) / 2, (self.box[1] + self.box[3]) / 2)
        width = float(self.right.place(middle[1]) - self.left.place(middle[1]))
        height = float(self.lower.place(middle[0]) - self.upper.place(middle[0]))
        return MM * math.sqrt(max(0.0, width * height) / (size[0] * size[1]))


def _rough(seen: Pixels, bed: Bed) -> _Rough | NoEdges:
    """The sides of the largest thing that stands out from the bed."""
    mask = apart(seen, bed) > min(16.0, max(7.0, 6.0 * bed.noise))
    pieces = parts(mask, 30)
    if not pieces:
        return NoEdges("no card", "nothing stands out")
    first = pieces[0]
    near = [p for p in pieces if p.area >= 0.02 * first.area]
    box = (
        min(p.left for p in near),
        min(p.upper for p in near),
        max(p.right for p in near),
        max(p.lower for p in near),
    )
    if box[2] - box[0] < 24 or box[3] - box[1] < 24:
        return NoEdges("no card", "too small")
    whole: Mask = np.zeros_like(mask)
    for piece in near:
        for y, start, past in piece.runs:
            whole[y, start:past] = True
    lines = [*_outline(whole, box), *_outline(whole.T, (box[1], box[0], box[3], box[2]))]
    good = [line for line, share in lines if share >= 0.5] or [line for line, _ in lines]
    turns = [line.slope if line in [one for one, _ in lines[:2]] else -line.slope for line in good]
    turn = float(np.median(turns))  # of a line that runs down; across it is the opposite
    sides: list[FittedLine] = []
    for at, (line, share) in enumerate(lines):
        slope = turn if at < 2 else -turn
        mid = (box[1] + box[3]) / 2 if at < 2 else (box[0] + box[2]) / 2
        place = float(line.place(mid)) if share >= 0.3 else (box[0], box[2], box[1], box[3])[at]
        sides.append(FittedLine((place - slope * mid) * STEP, slope))
    left, upper, right, lower = (float(v * STEP) for v in box)
    return _Rough(sides[0], sides[1], sides[2], sides[3], (left, upper, right, lower))


def _outline(mask: Mask, box: tuple[int, int, int, int]) -> list[tuple[FittedLine, float]]:
    """Lines through the first and through the last marked pixel of the rows of a mask, in its
    pixels, and the share of rows that agree."""
    deep = box[3] - box[1]
    rows = np.arange(box[1] + deep // 8, box[3] - deep // 8)
    part = mask[rows]
    rows = rows[part.any(axis=1)]
    part = mask[rows]
    first = part.argmax(axis=1).astype(np.float64)
    last = (part.shape[1] - part[:, ::-1].argmax(axis=1)).astype(np.float64)
    along = rows.astype(np.float64) + 0.5
    return [fit(along, first), fit(along, last)]


def _search(
    work: Levels, bed: Bed, rough: _Rough, dots: float, size: tuple[float, float], known: bool
) -> Edges | NoEdges:
    """The four sides to a fraction of a pixel, from the rough ones."""
    turned = work.transpose(1, 0, 2)
    middle = ((rough.box[0] + rough.box[2]) / 2, (rough.box[1] + rough.box[3]) / 2)
    across = float(rough.right.place(middle[1]) - rough.left.place(middle[1]))
    down = float(rough.lower.place(middle[0]) - rough.upper.place(middle[0]))
    short, long = (length / MM * dots for length in size)
    wanted = (long, short) if across > down else (short, long)
    lean = (wanted[0] - across, wanted[1] - down)
    if max(lean) > 0.45 * short or min(lean) < -0.6 * short:
        return NoEdges("size", f"{across / dots * MM:.0f} x {down / dots * MM:.0f} mm")
    ends_down = _shrunk(float(rough.upper.place(middle[0])), float(rough.lower.place(middle[0])))
    ends_across = _shrunk(float(rough.left.place(middle[1])), float(rough.right.place(middle[1])))
    columns = _pairs(
        work, bed, (rough.left, rough.right), ends_down, wanted[0], lean[0], middle[1], False
    )
    rows = _pairs(
        turned, bed, (rough.upper, rough.lower), ends_across, wanted[1], lean[1], middle[0], True
    )
    if not columns or not rows:
        return NoEdges("unclear", "no line on a side")
    best = max(product(columns[:4], rows[:4]), key=lambda both: _together(*both))
    return _measured(work, turned, best, (ends_down, ends_across), dots, size, known)


def _shrunk(low: float, high: float) -> tuple[float, float]:
    """The middle part of a side, where its corners do not matter."""
    inset = 0.07 * (high - low)
    return low + inset, high - inset


@dataclass(frozen=True)
class _Pair:
    """Two opposite sides, how far apart they are in pixels, and how well they fit."""

    near: EdgeLine
    far: EdgeLine
    apart: float
    score: float


def _pairs(
    work: Levels,
    bed: Bed,
    lines: tuple[FittedLine, FittedLine],
    reach: tuple[float, float],
    wanted: float,
    lean: float,
    middle: float,
    turned: bool,
) -> list[_Pair]:
    """Pairs of opposite sides, best first. `lean` is by how many pixels the rough sides are too
    near together."""
    out = min(150.0, 14 + max(0.0, lean))
    into = min(150.0, 14 + max(0.0, -lean))
    found = []
    for line, inward in zip(lines, (1, -1), strict=True):
        beside = strip(work, line, reach, out, into, inward)
        x = (beside.start / work.shape[1] * 2 - 1).astype(np.float32)
        y = (beside.along / work.shape[0] * 2 - 1).astype(np.float32)
        found.append(candidates(beside, bed.at(y, x) if turned else bed.at(x, y), bed.noise))
    out_of = []
    for near, far in product(*found):
        gap = float(far.line.place(middle) - near.line.place(middle)) * math.cos(
            math.atan(near.line.slope)
        )
        off = (gap - wanted) / (wanted * 0.006)
        clear = near.clear + far.clear
        crooked = abs(near.line.slope - far.line.slope) / 0.006
        score = (
            near.support
            + far.support
            + 0.8 * clear
            - min(off**2, 6.0) * 0.25
            - min(crooked**2, 4.0) * 0.15
        )
        out_of.append(_Pair(near, far, gap, score))
    return sorted(out_of, key=lambda pair: -pair.score)


def _together(columns: _Pair, rows: _Pair) -> float:
    """How well two pairs make one card: both good, and at right angles."""
    lean = (
        columns.near.line.slope
        + columns.far.line.slope
        + rows.near.line.slope
        + rows.far.line.slope
    ) / 2
    return columns.score + rows.score - min((lean / 0.006) ** 2, 4.0) * 0.2


def _measured(
    work: Levels,
    turned: Levels,
    best: tuple[_Pair, _Pair],
    ends: tuple[tuple[float, float], tuple[float, float]],
    dots: float,
    size: tuple[float, float],
    known: bool,
) -> Edges | NoEdges:
    """The chosen sides refined, their corners, and whether they hold together."""
    found_sides = []
    for plane, reach, pair in ((work, ends[0], best[0]), (turned, ends[1], best[1])):
        for one, inward in ((pair.near, 1), (pair.far, -1)):
            found_sides.append(refine(plane, one.line, reach, inward))
    agree = [side.agree for side in found_sides]
    sides = _fitted(found_sides, dots, size) if known else [side.line for side in found_sides]
    ones = [best[0].near, best[0].far, best[1].near, best[1].far]
    support = min(one.support for one in ones)
    contrast = min(one.clear for one in ones) >= 0.75 and support >= 0.6 and known
    if not known:
        dots = _dots(sides, size)
    blurred = max(side.line.spread for side in found_sides)
    confidence = (support + 1) / 2 * (min(agree) + 1) / 2 * min(1.0, 1.35 - blurred / 2)
    found = _edges(sides, agree, dots, size, contrast, confidence)
    if isinstance(found, Edges) or not known:
        return found
    weak = int(
        np.argmin(
            [share - abs(lean) / 0.3 for share, lean in zip(agree, _leans(sides), strict=True)]
        )
    )
    plane, reach = ((work, ends[0]), (turned, ends[1]))[weak // 2]
    assumed = _assumed(sides, weak, dots, size)
    again = refine(plane, assumed, reach, 1 if weak % 2 == 0 else -1)
    away = abs(float(again.line.place(sum(reach) / 2) - assumed.place(sum(reach) / 2)))
    seen = again.agree >= 0.5 and away <= 3 and abs(again.line.slope - assumed.slope) <= 0.002
    if contrast and not seen and found.reason == "size":
        return (
            found  # four clear sides and nothing where the known size would have one: another size
        )
    sides[weak], agree[weak] = again.line if seen else assumed, max(agree)
    mended = _edges(sides, agree, dots, size, False, 0.75 if seen else 0.6)
    return mended if isinstance(mended, Edges) else found


def _dots(sides: list[FittedLine], size: tuple[float, float]) -> float:
    """Dots per inch, if these are the sides of a card of that size in mm."""
    corners = _corners(sides)
    area = math.dist(corners[0], corners[1]) * math.dist(corners[0], corners[3])
    return MM * math.sqrt(area / (size[0] * size[1]))


def _corners(sides: list[FittedLine]) -> Corners:
    """Where left, right, upper and lower meet: left upper, right upper, right lower, left lower."""
    left, right, upper, lower = sides
    return _meet(left, upper), _meet(right, upper), _meet(right, lower), _meet(left, lower)


def _fitted(sides: list[Side], dots: float, size: tuple[float, float]) -> list[FittedLine]:
    """The sides, those that are only good to two pixels moved towards the known size.

    Cards are cut to about 0.12 mm, which is nearer than a soft side can be seen: it goes SOFT of
    the way."""
    lines = [side.line for side in sides]
    middles = [(lines[2 - at].at + lines[3 - at].at) / 2 for at in (0, 2)]
    gaps = [
        float(lines[at + 1].place(mid) - lines[at].place(mid))
        for at, mid in zip((0, 2), middles, strict=True)
    ]
    wanted = [length / MM * dots for length in (size if gaps[0] < gaps[1] else size[::-1])]
    for at, gap, want in zip((0, 2), gaps, wanted, strict=True):
        over = gap * math.cos(math.atan(lines[at].slope)) - want
        soft = [side for side in (at, at + 1) if sides[side].soft]
        if abs(over) < MOST_SOFT * dots / WORK_DPI:
            for side in soft:
                move = SOFT * over / len(soft) * (1 if side == at else -1)
                lines[side] = FittedLine(
                    lines[side].at + move, lines[side].slope, lines[side].spread
                )
    return lines


def _leans(sides: list[FittedLine]) -> list[float]:
    """By how many degrees each of left, right, upper, lower is turned against the middle of the
    four."""
    turns = [
        math.degrees(math.atan(side.slope)) * (1 if at < 2 else -1) for at, side in enumerate(sides)
    ]
    return [turn - float(np.median(turns)) for turn in turns]


def _assumed(
    sides: list[FittedLine], weak: int, dots: float, size: tuple[float, float]
) -> FittedLine:
    """Where one side must be if the other three are right: as far from its opposite as the card is
    wide or high."""
    opposite = sides[weak ^ 1]
    others = [side for at, side in enumerate(sides) if at // 2 != weak // 2]
    slope = (opposite.slope - (others[0].slope + others[1].slope) / 2) / 2
    # the other measure decides which of the two lengths this is
    gap = abs(others[0].at - others[1].at) / dots * MM
    length = size[0] if abs(gap - size[1]) < abs(gap - size[0]) else size[1]
    away = length / MM * dots / math.cos(math.atan(slope))
    middle = (others[0].at + others[1].at) / 2
    at = float(opposite.place(middle)) + (away if weak % 2 else -away)
    return FittedLine(at - slope * middle, slope)


def _edges(
    sides: list[FittedLine],
    agree: list[float],
    dots: float,
    size: tuple[float, float],
    contrast: bool,
    confidence: float,
) -> Edges | NoEdges:
    """The card that four sides make, if they hold together."""
    left, right, upper, lower = sides
    corners = _corners(sides)
    width = (math.dist(corners[0], corners[1]) + math.dist(corners[3], corners[2])) / 2 / dots * MM
    height = (math.dist(corners[0], corners[3]) + math.dist(corners[1], corners[2])) / 2 / dots * MM
    problem = _doubt(sides, agree, (width, height), size, contrast)
    if problem is None and confidence < LEAST:
        problem = NoEdges("unclear", f"confidence {confidence:.2f}")
    if problem is not None:
        return problem
    angle = math.degrees(math.atan((upper.slope + lower.slope - left.slope - right.slope) / 4))
    return Edges(corners, angle, width, height, dots, confidence, contrast)


def _doubt(
    sides: list[FittedLine],
    agree: list[float],
    found: tuple[float, float],
    size: tuple[float, float],
    contrast: bool,
) -> NoEdges | None:
    """What speaks against these sides, None where nothing does."""
    left, right, upper, lower = (math.degrees(math.atan(side.slope)) for side in sides)
    crooked = max(
        abs(left - right), abs(upper - lower), abs((left + right) / 2 + (upper + lower) / 2)
    )
    if crooked > (0.5 if contrast else 0.3):
        return NoEdges("shape", f"{crooked:.2f} degrees")
    if min(agree) < 0.55:
        return NoEdges("unclear", f"{min(agree):.2f} agree")
    short, long = sorted(found)
    off = max(abs(short - size[0]), abs(long - size[1]))
    if off > (CLEAR_OFF_MM if contrast else SIZE_OFF_MM):
        return NoEdges("size", f"{found[0]:.1f} x {found[1]:.1f} mm")
    return None


def _meet(down: FittedLine, across: FittedLine) -> Point:
    """Where a line that runs down and one that runs across meet."""
    y = (across.at + across.slope * down.at) / (1 - across.slope * down.slope)
    return down.at + down.slope * y, y
