"""A picture under an affine map that hardly turns it: first along its columns, then along its rows.

E. Catmull and A. R. Smith, "3-D Transformations of Images in Scanline Order", SIGGRAPH 1980: such a
map is one of each column followed by one of each row, so that four pixels are weighed twice in
place of sixteen once. The weights are those of R. Keys, "Cubic Convolution Interpolation for
Digital Image Processing", 1981, as in Pillow's BICUBIC. All pixels of a column, or of a row, are
moved by a whole number and one part of a pixel, so they are weighed together, in whole numbers of
sixteen bits. Loads numpy."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import numpy.typing as npt
from PIL import Image

from tagger.imaging.card.deskew import BED

if TYPE_CHECKING:
    from tagger.imaging.card.deskew import Affine

# Turned further, pixels that are moved alike are too few for it to be quicker.
MOST_TURN = 0.045  # of one: 2.5 degrees
MOST_SCALE = 0.0025  # off one, each way
MOST_PIXELS = 4_000_000  # a card at 600 dpi; of more, the copies would take too much memory
_DRIFT = 1 / 8  # pixels: what is moved together is so to half of it
_ROWS = 128  # at once: more do not stay near the processor
_SHIFT = 7  # bits that a weight has behind its point
_ONE = 1 << _SHIFT
# A pass goes below the lowest level by 1/8 of their span at most, and 2 levels for weights that are
# rounded: from 0 to -34, then to -74. Each pass adds so many levels, so that all stay above 0, and
# what is beyond black and white is cut off once, at the end.
_BELOW = 40
_ADDED = np.uint16((_BELOW << _SHIFT) + _ONE // 2)

Levels = npt.NDArray[np.uint16]
Reals = npt.NDArray[np.float64]


class _Pass(NamedTuple):
    """To the middle of a pixel of the result, `x` and `y`, the one that it is seen at is `own * x
    + across * y + start`: x along the pass, y across it."""

    own: float
    across: float
    start: float


class _Moved(NamedTuple):
    """Lines that are seen by so many pixels farther on, from one to before another."""

    first: int
    past: int
    by: int


def two_pass(pixels: Image.Image, way: Affine, target: tuple[int, int]) -> Image.Image | None:
    """RGB pixels under a map from those of the result, as large as `target`; None where it turns
    or scales too much, or is too large. What lies beside the picture is dark grey."""
    a, b, c, d, e, f = way
    wide, high = target
    if wide * high > MOST_PIXELS:
        return None
    if min(a, e) <= 0 or max(abs(b / a), abs(d / a)) > MOST_TURN:
        return None
    rows = _Pass(a, b, c)
    # from a column of the picture and a row of the result to a row of the picture
    columns = _Pass(e - d * b / a, d / a, f - d * c / a)
    if max(abs(rows.own - 1), abs(columns.own - 1)) > MOST_SCALE:
        return None
    first, past = _reach(rows, wide, (0, high))
    top, bottom = _reach(columns, high, (first, past))
    there = _levels(pixels, (first, top, past, bottom))
    columns = columns._replace(start=columns.start + columns.across * first - top)
    made = _made(there, rows._replace(start=rows.start - first), columns, target)
    return Image.frombuffer("RGB", target, made, "raw", "RGB", 0, 1)


def _reach(one: _Pass, length: int, beside: tuple[int, int]) -> tuple[int, int]:
    """From which pixel on, and before which, a pass looks."""
    ends = [one.own * x + one.across * y + one.start for x in (0, length) for y in beside]
    return math.floor(min(ends)) - 2, math.ceil(max(ends)) + 3


def _levels(pixels: Image.Image, box: tuple[int, int, int, int]) -> Levels:
    """Rows of the levels of pixels beside each other, of a part of a picture and of what lies
    beside it."""
    left, top, right, bottom = box
    wide, high = right - left, bottom - top
    seen = max(left, 0), max(top, 0), min(right, pixels.width), min(bottom, pixels.height)
    made = np.empty((high, wide * 3), np.uint16)
    if seen != box:
        made[:] = np.tile(np.array(BED, np.uint16), wide)
    if seen[0] < seen[2] and seen[1] < seen[3]:
        part = np.asarray(pixels.crop(seen))
        rows = slice(seen[1] - top, seen[3] - top)
        made[rows, (seen[0] - left) * 3 : (seen[2] - left) * 3] = part.reshape(len(part), -1)
    return made


def _made(
    source: Levels, rows: _Pass, columns: _Pass, target: tuple[int, int]
) -> npt.NDArray[np.uint8]:
    wide, high = target
    made = np.empty((high, wide * 3), np.uint8)
    step = _together(columns, _ROWS)
    between = np.empty((step, source.shape[1]), np.uint16)
    done = np.empty((step, wide * 3), np.uint16)
    spare = np.empty(step * max(source.shape[1], wide * 3), np.uint16)
    for top in range(0, high, step):
        count = min(step, high - top)
        _along_columns(source, columns, top, between[:count], spare)
        _along_rows(between[:count], rows, top, done[:count], spare)
        _cut_off(done[:count])
        made[top : top + count] = done[:count]
    return made


def _together(one: _Pass, most: int) -> int:
    """How many pixels along a pass are moved alike."""
    return int(min(most, max(1.0, _DRIFT / max(abs(one.own - 1), 1e-9))))


def _along_columns(source: Levels, one: _Pass, top: int, into: Levels, spare: Levels) -> None:
    """Rows of the result from `top` on, in columns of the picture."""
    count, width = into.shape
    off = one.across * (np.arange(width // 3) + 0.5) + (one.own - 1) * (top + count / 2) + one.start
    whole = np.floor(off)
    weights = [np.repeat(each, 3) for each in _weights(off - whole)]
    for first, past, by in _runs(whole):
        here = slice(first * 3, past * 3)
        seen = [source[top + by + k : top + by + k + count, here] for k in (-1, 0, 1, 2)]
        _weigh(seen, [each[here] for each in weights], into[:, here], spare)
    _settle(into)


def _along_rows(source: Levels, one: _Pass, top: int, into: Levels, spare: Levels) -> None:
    """The result's rows from `top` on, of what was made along the columns."""
    count, width = into.shape
    step = _together(one, width)
    lefts = np.arange(0, width // 3, step)
    middles = (lefts + np.minimum(lefts + step, width // 3)) / 2
    beside = one.across * (top + np.arange(count) + 0.5) + one.start
    off = beside + (one.own - 1) * middles[:, None]
    whole = np.floor(off)
    weights = _weights((off - whole)[:, :, None])
    for at, left in enumerate(lefts.tolist()):
        across = min(step, width // 3 - left) * 3
        for first, past, by in _runs(whole[at]):
            starts = [(left + by + k) * 3 for k in (-1, 0, 1, 2)]
            seen = [source[first:past, start : start + across] for start in starts]
            here = into[first:past, left * 3 : left * 3 + across]
            _weigh(seen, [each[at, first:past] for each in weights], here, spare)
    _settle(into)


def _runs(whole: Reals) -> Iterator[_Moved]:
    """The lines one after the other that are moved by the same whole number."""
    cuts = [0, *(np.nonzero(np.diff(whole))[0] + 1).tolist(), len(whole)]
    for first, past in pairwise(cuts):
        yield _Moved(first, past, int(whole[first]))


def _weights(part: Reals) -> list[Levels]:
    """What the four pixels around a place count for, in parts of `_ONE`. Negative ones are counted
    from 65,536 down: sums of them come out right."""
    square, cube = part**2, part**3
    before = np.rint((square - (cube + part) / 2) * _ONE)
    second = np.rint((2 * square + (part - 3 * cube) / 2) * _ONE)
    third = np.rint((cube - square) / 2 * _ONE)
    # the nearest on this side has what is left, so that an even colour stays as it is
    first = _ONE - before - second - third
    return [each.astype(np.int16).view(np.uint16) for each in (before, first, second, third)]


def _weigh(seen: Sequence[Levels], weights: Sequence[Levels], into: Levels, spare: Levels) -> None:
    part = spare[: into.size].reshape(into.shape)
    np.multiply(seen[0], weights[0], out=into)
    for levels, weight in zip(seen[1:], weights[1:], strict=True):
        np.multiply(levels, weight, out=part)
        np.add(into, part, out=into)


def _settle(sums: Levels) -> None:
    """From sums to levels, in place, with those that the pass adds."""
    np.add(sums, _ADDED, out=sums)
    np.right_shift(sums, _SHIFT, out=sums)


def _cut_off(levels: Levels) -> None:
    """Take away what both passes added, and what is beyond black and white, in place."""
    np.maximum(levels, 2 * _BELOW, out=levels)
    np.subtract(levels, 2 * _BELOW, out=levels)
    np.minimum(levels, 255, out=levels)
