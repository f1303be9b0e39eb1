"""What a machine added to a scan beyond its bed: strips of one flat colour, where the feeder
stopped reading before the picture was full."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from PIL import Image

from tagger.imaging.card.lines import median

TOGETHER = 16  # rows that are looked at together: few show what a machine saw
FLAT = 3.0  # levels that what a program filled in varies by; what a machine sees varies more
OTHER = 6.0  # levels that the bed differs by from what was filled in
ACROSS = 0.97  # of the scan's breadth, where that begins: a card leaves bed beside it
ENDS = 3  # pixels at each end of a row, which show the bed even if the card nearly fills the scan
EDGE = 24  # pixels that it may take from the one to the other
GOES_ON = 0.75  # of as many pixels behind that, which are bed: behind a streak it is as before

Grey = npt.NDArray[np.uint8]


def without_padding(picture: Image.Image) -> tuple[Image.Image, tuple[int, int]]:
    """The part of an RGB scan that the machine saw, and its left upper corner."""
    left, upper, right, lower = (_padding(picture, side) for side in range(4))
    # Where both sides' strips meet, nothing would be left: the picture is a flat one, not padded.
    if left + right >= picture.width:
        left = right = 0
    if upper + lower >= picture.height:
        upper = lower = 0
    if not left + upper + right + lower:
        return picture, (0, 0)
    box = (left, upper, picture.width - right, picture.height - lower)
    return picture.crop(box), (left, upper)


def _padding(picture: Image.Image, side: int) -> int:
    """How many pixels were filled in on one side: flat, and all of the next ones another colour."""
    outermost = _rows(picture, side, 0, 1)
    if float(np.ptp(outermost)) > 2 * FLAT:
        return 0
    colour = median(outermost.astype(np.float32))
    long = picture.size[side % 2]
    for start in range(0, long // 2, TOGETHER):
        deep = min(long - start, TOGETHER + 2 * EDGE)
        off = np.abs(_rows(picture, side, start, deep).astype(np.float32) - colour)
        uneven = np.nonzero(off[:TOGETHER].max(axis=1) > FLAT)[0]
        if len(uneven):
            return _strip_before(start + int(uneven[0]), off[uneven[0] :] > OTHER)
    return 0


def _strip_before(first: int, other: npt.NDArray[np.bool_]) -> int:
    """How many pixels were filled in, if what follows from the `first` on is a bed of another
    colour: `other` are those pixels, row by row."""
    # Of a bed that is seen right around a card nothing else begins at the ends of a row.
    ends = np.minimum(other[:, :ENDS].mean(axis=1), other[:, -ENDS:].mean(axis=1)) >= ACROSS
    begins = ends[:EDGE] & (other[:EDGE].mean(axis=1) >= ACROSS)
    if not begins.any():
        return 0
    at = int(begins.argmax())
    return first + at + 1 if float(ends[at : at + EDGE].mean()) >= GOES_ON else 0


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
    seen = np.asarray(picture.crop(boxes[side]).convert("L"))
    seen = seen if side % 2 else seen.T
    return seen if side < 2 else seen[::-1]
