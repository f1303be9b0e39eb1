"""What a machine added to a scan beyond its bed: strips of one flat colour, where the feeder
stopped reading before the picture was full, and the strip of white and greys that a machine
measures its own light by, where it is seen at an end of the page."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import numpy.typing as npt
from PIL import Image

from tagger.imaging.card.kept_levels import greys_of
from tagger.imaging.card.lines import median

TOGETHER = 64  # rows that are looked at together
FLAT = 3.0  # levels that what a program filled in varies by; what a machine sees varies more
OTHER = 6.0  # levels that the bed differs by from what was filled in
ACROSS = 0.97  # of the scan's breadth, where that begins: a card leaves bed beside it
ENDS = 3  # pixels at each end of a row, which show the bed even if the card nearly fills the scan
EDGE = 24  # pixels that it may take from the one to the other
SMALLEST = 8 * EDGE  # pixels of a scan, in which a frame and what is inside can be told apart
THIN = 5  # pixels that a frame is wide at least
LIKE_BED = 14.0  # levels that a bed varies by
FRAME = 0.06  # of a scan's length, that a frame around it takes on one side at most
FLAT_PART = 0.4  # of its rows: the others are where it was coded in one block with what is inside
GOES_ON = 0.75  # of as many pixels behind that, which are bed: behind a streak it is as before
TARGET = 0.09  # of a scan's length, that a machine's own strip takes at most
NOT_BED = 28.0  # levels off the bed of its outermost row
NOT_BED_PART = 0.9  # of that row: no card is as broad as the page
BED_ROWS = 4  # after one another, at the end of such a strip

Grey = npt.NDArray[np.uint8]


def without_padding(picture: Image.Image) -> tuple[Image.Image, tuple[int, int]]:
    """The part of an RGB scan that the machine saw, and its left upper corner."""
    added = _frame(picture) or [_padding(picture, side) for side in range(4)]
    left, upper, right, lower = (one or _target(picture, side) for side, one in enumerate(added))
    # Where both sides' strips meet, nothing would be left: the picture is a flat one, not padded.
    if left + right >= picture.width:
        left = right = 0
    if upper + lower >= picture.height:
        upper = lower = 0
    if not left + upper + right + lower:
        return picture, (0, 0)
    box = (left, upper, picture.width - right, picture.height - lower)
    return picture.crop(box), (left, upper)


def _frame(picture: Image.Image) -> list[int]:
    """How wide a frame of one flat colour is on each side of a scan, as programs draw it over the
    edges of a page; none where there is no such frame."""
    outermost = np.concatenate([_rows(picture, side, 0, 1).ravel() for side in range(4)])
    if min(picture.size) < SMALLEST or int(np.ptp(outermost)) > 2 * FLAT:
        return []
    colour = median(outermost.astype(np.float32))
    widths = [_framed(picture, side, colour) for side in range(4)]
    # What a machine that crops leaves of a bed is next to nothing, or not as wide all around.
    even = min(widths) >= THIN and max(widths) - min(widths) <= 1
    return widths if even and _is_bed_within(picture, widths) else []


def _is_bed_within(picture: Image.Image, widths: Sequence[int]) -> bool:
    """Whether what begins inside of a frame of these widths is a bed: one colour all around."""
    inset = max(widths) + ENDS
    inner = picture.crop((inset, inset, picture.width - inset, picture.height - inset))
    lines = [_rows(inner, side, 0, 1).astype(np.float32).ravel() for side in range(4)]
    around = np.concatenate(lines)
    return bool((np.abs(around - median(around)) <= LIKE_BED).mean() >= ACROSS)


def _framed(picture: Image.Image, side: int, colour: float) -> int:
    """How many pixels a frame of this colour takes on one side, 0 where it does not end."""
    deep = round(FRAME * picture.size[side % 2]) + EDGE
    rows = _rows(picture, side, 0, deep).astype(np.int16)
    # At their ends they show the frame on the other sides.
    end = round(rows.shape[1] / 4)
    off = np.abs(rows[:, end:-end] - colour)
    begins = np.flatnonzero((off > OTHER).mean(axis=1) >= ACROSS)
    if not len(begins) or float((off[: begins[0]] <= FLAT).all(axis=1).mean()) < FLAT_PART:
        return 0
    return int(begins[0]) + 1


def _padding(picture: Image.Image, side: int) -> int:
    """How many pixels were filled in on one side: flat, and all of the next ones another colour."""
    outermost = _rows(picture, side, 0, 1)
    if int(np.ptp(outermost)) > 2 * FLAT:
        return 0
    colour = median(outermost.astype(np.float32))
    long = picture.size[side % 2]
    # Most beds go on at both ends of the rows, which is seen much sooner than in all of them.
    if not _other_at_ends(picture, side, min(long, long // 2 + TOGETHER + EDGE), colour):
        return 0
    for start in range(0, long // 2, TOGETHER):
        seen = _rows(picture, side, start, min(long - start, TOGETHER))
        off = np.maximum(seen.max(axis=1) - colour, colour - seen.min(axis=1))
        uneven = np.nonzero(off > FLAT)[0]
        if len(uneven):
            first = start + int(uneven[0])
            behind = _rows(picture, side, first, min(long - first, 2 * EDGE)).astype(np.int16)
            begins = _begins(behind - colour)
            return 0 if begins is None else first + begins + 1
    return 0


def _target(picture: Image.Image, side: int) -> int:
    """How many pixels a machine's own strip takes on one side, 0 where there is none: all across it
    is unlike the bed, which begins soon behind it and is seen all across as well."""
    deep = round(TARGET * picture.size[side % 2])
    if deep < 2 * BED_ROWS or min(picture.size) < SMALLEST:
        return 0
    bed = _bed_at_ends(picture, side, deep)
    outermost = np.abs(_rows(picture, side, 0, 1)[0] - bed)
    if float((outermost > NOT_BED).mean()) < NOT_BED_PART:
        return 0
    off = np.abs(_rows(picture, side, 0, deep) - bed)
    is_bed = (off <= LIKE_BED).mean(axis=1) >= ACROSS
    together = np.convolve(is_bed, np.ones(BED_ROWS), "valid") >= BED_ROWS
    return int(together.argmax()) + 1 if together.any() else 0


def _bed_at_ends(picture: Image.Image, side: int, deep: int) -> npt.NDArray[np.float64]:
    """The bed's level along the rows of one side, from what is seen at their ends deeper down."""
    past = picture.size[side % 2] // 2
    ends = _row_ends(picture, side, deep, max(1, past - deep))
    low, high = (median(end.astype(np.float32)) for end in ends)
    return np.linspace(low, high, picture.size[1 - side % 2])


def _row_ends(picture: Image.Image, side: int, start: int, deep: int) -> tuple[Grey, Grey]:
    """The first and the last pixels of rows from one side on inwards, as of `_rows`."""
    if greys_of(picture) is not None:
        rows = _rows(picture, side, start, deep)
        return rows[:, :ENDS], rows[:, -ENDS:]
    wide, high = picture.size
    boxes = ((0, 0, wide, ENDS), (0, high - ENDS, wide, high))
    if side % 2:
        boxes = ((0, 0, ENDS, high), (wide - ENDS, 0, wide, high))
    first, last = (_rows(picture.crop(box), side, start, deep) for box in boxes)
    return first, last


def _other_at_ends(picture: Image.Image, side: int, deep: int, colour: float) -> bool:
    """Whether both ends of any row are another colour."""
    ends = _row_ends(picture, side, 0, deep)
    other = [(np.abs(levels - colour) > OTHER).all(axis=1) for levels in ends]
    return bool((other[0] & other[1]).any())


def _begins(off: npt.NDArray[np.floating[Any]]) -> int | None:
    """Which of the rows behind a strip is the first one of a bed of another colour, None where
    there is no such bed. `off`: the levels that they are off the strip's colour."""
    # Of a bed that is seen right around a card nothing else begins at the ends of a row.
    ends = (np.abs(off[:, [*range(ENDS), *range(-ENDS, 0)]]) > OTHER).all(axis=1)
    at = np.flatnonzero(ends[:EDGE])
    at = at[(np.abs(off[at]) > OTHER).mean(axis=1) >= ACROSS]
    if not len(at) or float(ends[at[0] : at[0] + EDGE].mean()) < GOES_ON:
        return None
    return int(at[0])


def _rows(picture: Image.Image, side: int, start: int, deep: int) -> Grey:
    """Rows of pixels from one side of a picture on inwards."""
    wide, high = picture.size
    past = start + deep
    boxes = (
        (start, 0, past, high),
        (0, start, wide, past),
        (wide - past, 0, wide - start, high),
        (0, high - past, wide, high - start),
    )
    whole = greys_of(picture)
    if whole is None:
        seen = np.asarray(picture.crop(boxes[side]).convert("L"))
    else:
        left, upper, right, lower = boxes[side]
        seen = whole[max(0, upper) : max(0, lower), max(0, left) : max(0, right)]
    seen = seen if side % 2 else seen.T
    return seen if side < 2 else seen[::-1]
