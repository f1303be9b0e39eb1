"""Whether a JPEG was damaged inside its coded data: such a file is whole by its markers, and
decodes to something else.

Blocks are 8 x 8 pixels (ITU-T T.81, A.3.3). From the damage on the picture is moved, has other
levels or is plain grey. The picture is looked at as stored, before it is turned by its EXIF
orientation."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from PIL import Image

BLOCK = 8
BROKEN = 0.10  # of a row's length: so many of its blocks must begin with a sudden step
STEP = 4.0  # levels by which the bed jumps
_TOGETHER = 256  # rows that are looked at together
SUDDEN = 9  # levels above what the rows around change by
_RIM = 16  # pixels from the left and right end, where the bed is seen; fewer on small scans

Grey = npt.NDArray[np.uint8]


def broken_at(picture: Image.Image) -> int | None:
    """The row at which a picture breaks (pixels from above), None where it does not.

    A scanned edge is spread over two rows at least, and a printed one leaves the bed beside the
    card alone. So rows of blocks are looked for that begin with a sudden step along some of their
    length, and where either the bed jumps too, or the row is the one above moved by whole blocks.
    """
    coloured = picture if picture.mode == "RGB" else picture.convert("RGB")
    grey = _grey_of(coloured)
    rows = np.arange(BLOCK, grey.shape[0] - 4, BLOCK)
    if len(rows) < 4 or grey.shape[1] < 8 * _RIM:
        return None
    # A damaged row begins with a step that its neighbours above and below do not have.
    sudden = _blocks(_steps(grey, rows) > _steps(grey, rows - 1) + _steps(grey, rows + 1) + SUDDEN)
    jump = _bed_jumps(coloured, rows)
    bare = _bare(grey, rows)
    for at in np.nonzero((sudden >= 0.6 * BROKEN) & ~bare)[0]:
        if jump[max(0, at - 2) : at + 3].max() >= STEP or (
            sudden[at] >= BROKEN and _moved(grey, int(rows[at]))
        ):
            return int(rows[at])
    return _grey_tail(coloured)


def _grey_of(picture: Image.Image) -> Grey:
    """A picture's levels of grey. Of a large sheet no more is held beside its pixels."""
    width, height = picture.size
    grey = np.empty((height, width), dtype=np.uint8)
    for upper in range(0, height, _TOGETHER):
        band = picture.crop((0, upper, width, min(height, upper + _TOGETHER)))
        grey[upper : upper + band.height] = np.asarray(band.convert("L"))
    return grey


def _steps(grey: Grey, rows: npt.NDArray[np.int64]) -> npt.NDArray[np.int16]:
    """By how many levels rows differ from those above them."""
    # with a sign, since levels are subtracted from each other
    return np.asarray(np.abs(grey[rows].astype(np.int16) - grey[rows - 1]), dtype=np.int16)


def _blocks(marked: npt.NDArray[np.bool_]) -> npt.NDArray[np.float64]:
    """For each row the share of its blocks of which more than half is marked."""
    width = marked.shape[1] // BLOCK * BLOCK
    blocks = marked[:, :width].reshape(len(marked), -1, BLOCK).sum(axis=2)
    return np.asarray((blocks > BLOCK // 2).mean(axis=1), dtype=np.float64)


def _bare(grey: Grey, rows: npt.NDArray[np.int64]) -> npt.NDArray[np.bool_]:
    """At which of the rows nothing but the bed lies above or below, as at the card's own upper and
    lower edge."""
    bed = float(np.median(grey[:4]))
    out = np.zeros(len(rows), dtype=bool)
    for away in (-3, 3):
        # some rows at a time: a quantile takes many times what it is of
        for at in range(0, len(rows), _TOGETHER // BLOCK):
            near = np.abs(grey[rows[at : at + _TOGETHER // BLOCK] + away] - bed)
            out[at : at + len(near)] |= np.percentile(near, 90, axis=1) < 12
    return out


def _bed_jumps(picture: Image.Image, rows: npt.NDArray[np.int64]) -> npt.NDArray[np.float64]:
    """By how many levels the left or the right rim jumps at each of the rows, 0 where it is not
    calm above it."""
    most = np.zeros(len(rows))
    width, height = picture.size
    deep = max(4, min(_RIM, width // 51))
    for left in (0, width - deep):
        mean = np.asarray(picture.crop((left, 0, left + deep, height))).mean(axis=1)
        change = np.abs(np.diff(mean, axis=0)).max(axis=1)
        calm = np.cumsum(change < 3) / np.arange(1, len(change) + 1)
        total = np.cumsum(np.vstack([np.zeros((1, 3)), mean]), axis=0)
        below = (total[np.minimum(rows + 6, len(mean))] - total[rows + 2]) / 4
        above = (total[rows - 2] - total[np.maximum(rows - 6, 0)]) / 4
        before = (total[rows - 2] - total[np.maximum(rows - 12, 0)]) / np.minimum(rows - 2, 10)[
            :, None
        ]
        later = (
            total[np.minimum(rows + 16, len(mean))] - total[np.minimum(rows + 8, len(mean) - 1)]
        ) / np.maximum(1, np.minimum(rows + 16, len(mean)) - np.minimum(rows + 8, len(mean) - 1))[
            :, None
        ]
        # dust is short
        lasting = np.minimum(np.abs(below - above).max(axis=1), np.abs(later - above).max(axis=1))
        jump = lasting - 2 * np.abs(above - before).max(axis=1)
        most = np.maximum(most, np.where(calm[rows - 2] > 0.9, jump, 0))
    return most


def _moved(grey: Grey, row: int) -> bool:
    """Whether the rows from `row` on are those above moved sideways by whole blocks."""
    width = grey.shape[1]
    above, below = grey[row - 3 : row].mean(axis=0), grey[row : row + 3].mean(axis=0)
    # Rows farther off must say the same: two alone may look moved by chance.
    farther, deeper = grey[row - 7 : row - 4].mean(axis=0), grey[row + 4 : row + 7].mean(axis=0)
    still, wide = _unlike(above, below), _unlike(farther, deeper)
    if still < 3 or wide < 3:
        return False
    for blocks in range(1, width // BLOCK):
        if _unlike(np.roll(above, blocks * BLOCK), below) < 0.4 * still:
            return _unlike(np.roll(farther, blocks * BLOCK), deeper) < 0.6 * wide
    return False


def _unlike(one: npt.NDArray[np.float64], other: npt.NDArray[np.float64]) -> float:
    """How far two rows are apart, in levels, but for one shift of all levels."""
    off = one - other
    return float(np.abs(off - np.median(off)).mean())


def _grey_tail(picture: Image.Image) -> int | None:
    """Where the picture ends in rows of one grey, which is what a decoder fills in for data that is
    not there."""
    # Without data all coefficients are 0, which is level 128 of eight bits: T.81, A.3.1.
    width, height = picture.size
    last = np.asarray(picture.getpixel((width - 1, height - 1)), dtype=np.int16)
    if np.ptp(last) > 6 or abs(int(last.mean()) - 128) > 6:
        return None
    first = height
    while first > 0:
        upper = max(0, first - _TOGETHER)
        # Every seventh column will do, and is far quicker: what is filled in is alike all across.
        band = np.asarray(picture.crop((0, upper, width, first)))[:, ::7].astype(np.int16)
        marked = np.nonzero(np.abs(band - last).max(axis=(1, 2)) > 1)[0]
        if len(marked):
            first = upper + int(marked[-1]) + 1
            break
        first = upper
    return first if height - first >= BLOCK else None
