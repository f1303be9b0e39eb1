"""Rectangles on a scan: four straight lines that end where they meet.

The card's edges are told from the bed's own lines by that: the grid of a mat, the bars of a carrier
and a streak go on beyond the corner. Nothing has to be known of the bed, so that this finds cards
where nothing stands out from one. A frame in the print is a rectangle as well, which only the size
tells from the card.

It is a Hough transform over the few slopes that are possible, with sums along each line (prefix
sums), so that a line's share of change is known from any place to any other."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import numpy.typing as npt
from PIL import Image

from tagger.imaging.card.background import pixels

if TYPE_CHECKING:
    from tagger.core.model.pose import Corners4, Point
    from tagger.imaging.card.lines import Pixels

LONG = 440  # pixels of the coarse picture's long side: about 100 dots per inch
SLOPES = np.tan(np.radians(np.arange(-3.5, 3.51, 0.25)))
BEST_SLOPES = 5  # that are looked at closely
STEP = 6.0  # levels from pixel to pixel that count half
LINES, LEAST_LINE = 14, 0.18  # lines of a way that are tried, and their least share of change
LEAST_SIDE = 0.3  # of the picture's short side
INSET, BEYOND = 0.08, 0.08  # of a side: what is left out at its corners, and looked at beyond them
GAP = 4  # pixels beyond a corner that its own blur may reach
GOES_ON = 0.6  # of a line's share beyond its corners, by which it counts less
SAME = 4  # pixels by which rectangles differ
KEPT, TRIED = 12, 30  # rectangles, and those of a slope

Whole = npt.NDArray[np.int64]
Sums = npt.NDArray[np.float32]


class Rectangle(NamedTuple):
    """`corners` are pixels of the scan, in the order of Edges. `score` is 0 to 1: how continuous
    the four sides are, and that they end at the corners; `weakest` that share of the weakest
    side."""

    corners: Corners4
    score: float
    weakest: float

    @property
    def lengths(self) -> tuple[float, float]:
        """Its width and height in pixels."""
        a, b, c, d = self.corners
        return (math.dist(a, b) + math.dist(d, c)) / 2, (math.dist(a, d) + math.dist(b, c)) / 2


class _Upright(NamedTuple):
    """A rectangle on the coarse picture as it is sheared by a slope: where its sides lie."""

    score: float
    weakest: float
    slope: float
    sides: tuple[int, int, int, int]  # left, right, upper, lower


def rectangles(picture: Image.Image) -> list[Rectangle]:
    """The rectangles on an RGB picture that have the best scores, best first."""
    times = max(1.0, max(picture.size) / LONG)
    size = (round(picture.width / times), round(picture.height / times))
    if min(size) < 4 * GAP:
        return []
    coarse = pixels(picture.resize(size, Image.Resampling.BOX))
    down, across = _changes(coarse), _changes(coarse.transpose(1, 0, 2))
    found: list[_Upright] = []
    for slope in _slopes(down, across):
        found += _of_slope(down, across, float(slope))
    found.sort(key=lambda one: -one.score)
    scale = (picture.width / size[0], picture.height / size[1])
    return [_placed(one, size, scale) for one in _different(found)]


def _changes(levels: Pixels) -> Pixels:
    """How much the colour changes across each pixel's column, 0 to 1: the most of a pixel and its
    neighbours, as a line that leans is in either."""
    change = np.zeros(levels.shape[:2], np.float32)
    step = levels[:, 2:] - levels[:, :-2]
    change[:, 1:-1] = (step * step).sum(axis=2) / 12
    share = change / (change + STEP**2)
    most = share.copy()
    np.maximum(most[:, 1:], share[:, :-1], out=most[:, 1:])
    np.maximum(most[:, :-1], share[:, 1:], out=most[:, :-1])
    return most


def _slopes(down: Pixels, across: Pixels) -> Pixels:
    """The slopes at which lines that run down and lines that run across are most continuous."""
    halves = [(down[::2, ::2], 1), (across[::2, ::2], -1)]
    worth = [
        sum(_four_best(_sheared(plane, way * slope).mean(axis=0)) for plane, way in halves)
        for slope in SLOPES
    ]
    return np.asarray(SLOPES[np.argsort(worth)[::-1][:BEST_SLOPES]], np.float32)


def _four_best(shares: Pixels) -> float:
    return float(np.sort(shares)[-4:].sum())


def _sheared(plane: Pixels, slope: float) -> Pixels:
    """The plane with each row moved so that lines of this slope run straight down."""
    high, wide = plane.shape
    place = np.arange(wide)[None, :] + (slope * (np.arange(high) - (high - 1) / 2))[:, None]
    low = np.floor(place)
    part = (place - low).astype(np.float32)
    first = np.clip(low.astype(np.int64), 0, wide - 1)
    one = np.take_along_axis(plane, first, 1)
    other = np.take_along_axis(plane, np.minimum(first + 1, wide - 1), 1)
    return np.asarray(one + (other - one) * part)


def _lines(plane: Pixels) -> tuple[Whole, Sums]:
    """The columns of a sheared plane in which lines are most continuous, from left to right, and
    for each the sum of its shares up to each row."""
    shares = plane.mean(axis=0)
    peak = (shares[1:-1] >= shares[:-2]) & (shares[1:-1] >= shares[2:])
    places = np.flatnonzero(peak & (shares[1:-1] >= LEAST_LINE)) + 1
    kept: list[int] = []
    for place in places[np.argsort(-shares[places])].tolist():
        if all(abs(place - other) > 2 for other in kept):
            kept.append(place)
        if len(kept) == LINES:
            break
    columns = np.asarray(sorted(kept), np.int64)
    sums = np.zeros((len(plane) + 1, len(columns)), np.float32)
    np.cumsum(plane[:, columns], axis=0, out=sums[1:])
    return columns, sums


def _of_slope(down: Pixels, across: Pixels, slope: float) -> Iterator[_Upright]:
    """The best rectangles whose sides have this slope."""
    xs, below = _lines(_sheared(down, slope))
    ys, beside = _lines(_sheared(across, -slope))
    least = LEAST_SIDE * min(down.shape)
    columns, rows = _pairs(xs, least), _pairs(ys, least)
    if not len(columns) or not len(rows):
        return
    # sides x pairs of columns x pairs of rows
    sides = np.stack(
        [_side(below, column, ys[rows]) for column in columns.T]
        + [_side(beside, row, xs[columns]).T for row in rows.T]
    )
    score = sides.mean(axis=0) / 2 + sides.min(axis=0) / 2
    for at in np.argsort(-score, axis=None)[:TRIED]:
        column, row = np.unravel_index(at, score.shape)
        place = (*xs[columns[column]].tolist(), *ys[rows[row]].tolist())
        weakest = float(sides[:, column, row].min())
        yield _Upright(float(score[column, row]), weakest, slope, place)


def _pairs(places: Whole, least: float) -> Whole:
    """The numbers of each two lines that are far enough from each other: pairs x 2."""
    one, other = np.triu_indices(len(places), 1)
    apart = places[other] - places[one] >= least
    return np.stack([one[apart], other[apart]], axis=1)


def _side(sums: Sums, lines: Whole, ends: Whole) -> Pixels:
    """The share of change of some lines between two ends, less what goes on of it beyond them:
    lines x ends. `ends` is pairs x 2 places along the lines."""
    low, high = ends.T
    inset = np.maximum(3, INSET * (high - low)).astype(np.int64)
    within = _between(sums, lines, low + inset, high - inset)
    long = np.maximum(GAP, BEYOND * (high - low)).astype(np.int64)
    # what would lie outside of the picture says nothing
    last = len(sums) - 1
    before = np.clip(low - GAP - long, 0, last), np.clip(low - GAP, 0, last)
    behind = np.clip(high + GAP, 0, last), np.clip(high + GAP + long, 0, last)
    seen = before[1] - before[0] + behind[1] - behind[0]
    beyond = _sum(sums, lines, *before) + _sum(sums, lines, *behind)
    beyond = beyond / np.maximum(seen, 1)
    return np.asarray(within - GOES_ON * np.minimum(within, beyond), np.float32)


def _between(sums: Sums, lines: Whole, low: Whole, high: Whole) -> Pixels:
    """The mean share of lines from places to others."""
    return np.asarray(_sum(sums, lines, low, high) / np.maximum(high - low, 1))


def _sum(sums: Sums, lines: Whole, low: Whole, high: Whole) -> Pixels:
    return np.asarray((sums[high][:, lines] - sums[low][:, lines]).T)


def _different(found: Sequence[_Upright]) -> list[_Upright]:
    """The best of those that are hardly apart."""
    kept: list[_Upright] = []
    for one in found:
        if all(_apart(one, other) > SAME for other in kept):
            kept.append(one)
        if len(kept) == KEPT:
            break
    return kept


def _apart(one: _Upright, other: _Upright) -> int:
    return max(abs(a - b) for a, b in zip(one.sides, other.sides, strict=True))


def _placed(one: _Upright, size: tuple[int, int], scale: tuple[float, float]) -> Rectangle:
    left, right, upper, lower = one.sides
    corners = ((left, upper), (right, upper), (right, lower), (left, lower))
    a, b, c, d = (_corner(x, y, one.slope, size, scale) for x, y in corners)
    return Rectangle((a, b, c, d), one.score, one.weakest)


def _corner(
    down: float, across: float, slope: float, size: tuple[int, int], scale: tuple[float, float]
) -> Point:
    """Where two sheared lines meet, in pixels of the scan."""
    middle = [(length - 1) / 2 for length in size]
    # x = down + slope * (y - middle), y = across - slope * (x - middle)
    x = (down + slope * (across - middle[1] + slope * middle[0])) / (1 + slope**2)
    y = across - slope * (x - middle[0])
    return (x + 0.5) * scale[0], (y + 0.5) * scale[1]
