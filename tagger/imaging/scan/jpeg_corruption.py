"""Whether a JPEG was damaged inside its coded data: such a file is whole by its markers, and
decodes to something else. A decoder's own warnings tell most of it (`decoder_warnings`); here it is
the pixels that are asked.

Blocks are 8 x 8 pixels (ITU-T T.81, A.3.3). From the damage on the picture is moved, has other
levels. The picture is looked at as stored, before it is turned by its EXIF
orientation."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np
import numpy.typing as npt
from PIL import Image

from tagger.imaging.card.kept_levels import levels_of
from tagger.imaging.card.lines import median, medians_down, percentile, percentiles_across
from tagger.imaging.scan.block_borders import BLOCK, border_greys, border_rows, row_greys

if TYPE_CHECKING:
    from tagger.imaging.card.lines import Levels

BROKEN = 0.10  # of a row's length: so many of its blocks must begin with a sudden step
STEP = 4.0  # levels by which the bed jumps
SUDDEN = 9  # levels above what the rows around change by
SPARSE = 4  # one of so many pixels of a row says whether it may be another one moved
Grey = npt.NDArray[np.uint8]
Marks = npt.NDArray[np.bool_]

FAR = (40, 64)  # rows above and below a jump, which differ as well if the data is damaged
_TOP, _LIKE_BED = 3, 14  # rows at the top that show the bed; levels that it varies by
# rows of blocks that are coded together: chroma may be half as fine (T.81, A.2.3)
TOGETHER = (1, 2)
DEEP = 24  # rows above and below a jump, by which it is seen to last
_FLAT = 1.5  # levels that what a decoder fills in varies by at most
_RIM = 16  # pixels from the left and right end, where the bed is seen; fewer on small scans


def broken_at(picture: Image.Image) -> int | None:
    """The row at which a picture breaks (pixels from above), None where it does not.

    Damage goes on in the order in which blocks are coded: the bed on the right jumps a row of
    blocks before the one on the left, while a bar of a carrier crosses both in the same row. A
    scanned edge is spread over two rows at least, and a printed one leaves the bed beside the card
    alone. So where the bed does not say it on both sides, rows of blocks are looked for that begin
    with a sudden step along some of their length, and where either the bed jumps too, or the row is
    the one above moved by whole blocks. What is seen beside the card is asked only where it is bed
    for sure: a corner of a card that reaches the scan's edge jumps as well.
    """
    rows = border_rows(picture)
    if len(rows) < 4 or picture.width < 8 * _RIM:
        return None
    breaks = _bed_breaks(picture, rows)
    if breaks.sure.any():
        return int(rows[breaks.sure.argmax()])
    sudden = _sudden(border_greys(picture, rows))
    steep = np.nonzero(sudden >= 0.6 * BROKEN)[0]
    if not len(steep):
        return None
    for at in steep[~_bare(picture, rows[steep])].tolist():
        near = slice(max(0, at - 2), at + 3)
        if (
            breaks.likely[near].any()
            or any(_goes_along(picture, int(row)) for row in rows[near][breaks.at_once[near]])
            or (sudden[at] >= BROKEN and _moved(picture, int(rows[at])))
        ):
            return int(rows[at])
    return None


def _sudden(greys: Grey) -> npt.NDArray[np.float64]:
    """For each border between rows of blocks the share of the blocks that begin with a step which
    the rows above and below do not have. `greys`: two rows above and two below each border."""
    # With a sign, since levels are subtracted from each other.
    farther, above, first, below = greys.transpose(1, 0, 2).astype(np.int16)
    around = np.abs(above - farther) + np.abs(below - first)
    return _blocks(np.abs(first - above) > around + SUDDEN)


def _blocks(marked: npt.NDArray[np.bool_]) -> npt.NDArray[np.float64]:
    """For each row the share of its blocks of which more than half is marked."""
    width = marked.shape[1] // BLOCK * BLOCK
    # a block's pixels as the bits of one byte
    blocks = np.bitwise_count(np.packbits(marked[:, :width], axis=1))
    return np.asarray((blocks > BLOCK // 2).mean(axis=1), dtype=np.float64)


def _bare(picture: Image.Image, rows: npt.NDArray[np.int64]) -> npt.NDArray[np.bool_]:
    """At which of the rows nothing but the bed lies above or below, as at the card's own upper and
    lower edge; of a crooked card, a corner comes in some rows after the other."""
    bed = median(row_greys(picture, range(4)).astype(np.float32))
    away = np.array((-3 * BLOCK, -3, 3))[:, None]
    places, which = np.unique(np.maximum(rows + away, 0), return_inverse=True)
    seen = row_greys(picture, places.tolist()).astype(np.int16)
    near = np.abs(seen - bed)[which.reshape(3, -1)]
    return np.asarray((percentiles_across(near, 90) < 12).any(axis=0))


class _Breaks(NamedTuple):
    """At which borders between rows of blocks the rims jump: as those of damaged data do, the right
    one there and the left one at the next row that is coded after it, `sure` where both are bed and
    `likely` where one is; or both `at_once`."""

    sure: Marks
    likely: Marks
    at_once: Marks


def _bed_breaks(picture: Image.Image, rows: npt.NDArray[np.int64]) -> _Breaks:
    """Where the rims jump. A rim that is no bed must begin with a step of its own; where both are
    none nothing is said."""
    levels = levels_of(picture)[:, :, :3]
    sure, likely, at_once = np.zeros((3, len(rows)), dtype=bool)
    if not _has_bed_above(levels):
        return _Breaks(sure, likely, at_once)
    deep = max(4, min(_RIM, levels.shape[1] // 51))
    rims = np.stack([levels[:, :deep], levels[:, -deep:]])
    # Lint crosses some columns, damage all.
    # Channels first: numpy compares three whole arrays faster than three neighbours at each place.
    columns = _in_order(rims.transpose(2, 3, 0, 1))[deep // 4 : deep - deep // 4]
    means = np.add.reduce(columns, axis=0, dtype=np.uint16) / len(columns)
    change = np.abs(means[:, :, 1:] - means[:, :, :-1]).max(axis=0)
    bare = means[:, :, :_TOP].mean(axis=2)[:, :, None]
    is_bed = np.abs(means[:, :, 1:] - bare).max(axis=0) <= _LIKE_BED
    calm = np.cumsum((change < 3) & is_bed, axis=1) / np.arange(1, change.shape[1] + 1)
    beds = (calm[:, rows - 2] > 0.9) & (rows <= len(levels) - 2 * BLOCK)
    jumps = _lasting_jumps(means, rows)
    for jump, seen in zip(jumps, beds, strict=True):
        # A lamp that beats with the sensor makes waves, which are no damage.
        jump -= max(0.0, percentile(jump[seen], 90)) if seen.any() else 0.0
    steps = change[:, rows - 1] - change[:, rows - 2] - change[:, rows]
    left, right = np.where(beds, jumps, steps) >= STEP
    for on in TOGETHER:
        found = right[:-on] & left[on:] & ~left[:-on]
        sure[:-on] |= found & beds[1, :-on] & beds[0, on:]
        likely[:-on] |= found & (beds[1, :-on] | beds[0, on:])
    at_once = left & right & (steps >= STEP).all(axis=0) & beds.any(axis=0)
    return _Breaks(sure, likely, at_once)


def _goes_along(picture: Image.Image, row: int) -> bool:
    """Whether the middle of a scan changes at a row as both of its ends do, or nothing at all is
    seen from there on: what lies behind a card leaves the card as it is."""
    if not DEEP <= row <= picture.height - DEEP:
        return False
    seen = row_greys(picture, (*range(row - DEEP, row - BLOCK), *range(row + BLOCK, row + DEEP)))
    above, below = seen.reshape(2, DEEP - BLOCK, -1)
    if below.std() < _FLAT:
        return bool(above.std() >= _LIKE_BED)
    quarter = above.shape[1] // 4
    parts = slice(quarter, -quarter), slice(_RIM), slice(-_RIM, None)
    lasting = below.mean(axis=0) - above.mean(axis=0)
    middle, *ends = (median(lasting[part]) for part in parts)
    usual = sum(ends) / 2
    before, *beds = (median(above[:, part].astype(np.float32)) for part in parts)
    # where nothing but the bed lies, a bar of it crosses the middle as well
    is_card = min(abs(before - bed) for bed in beds) >= _LIKE_BED
    even = max(abs(change - usual) for change in (middle, *ends)) <= max(2.5, abs(usual) / 4)
    return is_card and even and abs(usual) >= STEP


def _in_order(columns: Levels) -> Levels:
    """For each place the levels of these columns, the lowest first: by odd-even transposition (D.
    E. Knuth, The Art of Computer Programming 3, 5.3.4), which numpy does for all places at once."""
    ordered = list(np.ascontiguousarray(columns))
    for step in range(len(ordered)):
        for at in range(step % 2, len(ordered) - 1, 2):
            one, other = ordered[at : at + 2]
            ordered[at : at + 2] = np.minimum(one, other), np.maximum(one, other)
    return np.stack(ordered)


def _has_bed_above(levels: Levels) -> bool:
    """Whether the scan's first rows show nothing but the bed: one colour, or the stripes that its
    last rows show too."""
    first, last = levels[:_TOP].astype(np.float32), levels[-_TOP:].astype(np.float32)
    off = first - medians_down(first.reshape(-1, 3))
    if float((np.abs(off).max(axis=2) <= _LIKE_BED).mean()) >= 0.95:
        return True
    between = last.mean(axis=0) - first.mean(axis=0)
    # Damage changes the level of all the stripes by the same.
    striped = np.abs(between - medians_down(between)).max(axis=1)
    return float((striped <= _LIKE_BED).mean()) >= 0.9


def _lasting_jumps(
    means: npt.NDArray[np.float64], rows: npt.NDArray[np.int64]
) -> npt.NDArray[np.float64]:
    """By how many levels each rim, of which `means` has the colour of each row (channels x rims x
    rows), is another one from each of the rows on."""
    count = means.shape[2]
    total = np.zeros((*means.shape[:2], count + 1))
    np.cumsum(means, axis=2, out=total[:, :, 1:])

    def around(first: int, past: int) -> npt.NDArray[np.float64]:
        start, end = (np.minimum(np.maximum(rows + at, 0), count) for at in (first, past))
        return np.asarray((total[:, :, end] - total[:, :, start]) / np.maximum(1, end - start))

    above, below = around(-6, -2), around(2, 6)
    before, later = around(-12, -2), around(8, 16)
    # dust is short
    lasting = np.minimum(np.abs(below - above).max(axis=0), np.abs(later - above).max(axis=0))
    # and so is the mark of a roller, before and behind which the bed is the same
    far = np.abs(around(*FAR) - around(-FAR[1], -FAR[0])).max(axis=0)
    inside = (rows >= FAR[1]) & (rows + FAR[1] <= count)
    lasting = np.where(inside, np.minimum(lasting, far), lasting)
    return np.asarray(lasting - 2 * np.abs(above - before).max(axis=0))


def _moved(picture: Image.Image, row: int) -> bool:
    """Whether the rows from `row` on are those above moved sideways by whole blocks."""
    width = picture.width
    grey = row_greys(picture, range(row - 7, min(picture.height, row + 7)))
    above, below = grey[4:7].mean(axis=0), grey[7:10].mean(axis=0)
    # Rows farther off must say the same: two alone may look moved by chance.
    farther, deeper = grey[:3].mean(axis=0), grey[11:14].mean(axis=0)
    still, wide = _unlike(above, below), _unlike(farther, deeper)
    if still < 3 or wide < 3:
        return False
    # Each row of it is the rows above, moved by one block more.
    moves = (np.arange(width) - BLOCK * np.arange(1, width // BLOCK)[:, None]) % width
    # Most moves are seen at some of the pixels to be none.
    some = slice(None, None, SPARSE)
    likely = _unlike(above[moves[:, some]], below[some]) < 0.8 * still
    moves = moves[likely]
    unlike = _unlike(above[moves], below)
    like = np.nonzero(unlike < 0.4 * still)[0]
    if not len(like) or _unlike(farther[moves[like[0]]], deeper) >= 0.6 * wide:
        return False
    return not _repeats(above, still)


def _repeats(rows: npt.NDArray[np.float64], still: float) -> bool:
    """Whether rows are themselves again moved sideways, as those of a lattice: a seam in it is a
    move that was printed."""
    width = len(rows)
    moves = (np.arange(width) + np.arange(BLOCK, width // 2)[:, None]) % width
    return bool((_unlike(rows[moves], rows) < 0.6 * still).any())


def _unlike(one: npt.NDArray[np.float64], other: npt.NDArray[np.float64]) -> Any:
    """How far rows are apart from another one, in levels, but for one shift of all levels."""
    off = one - other
    middle = off.shape[-1] // 2
    usual = np.partition(off, middle, axis=-1)[..., middle : middle + 1]
    return np.abs(off - usual).mean(axis=-1)
