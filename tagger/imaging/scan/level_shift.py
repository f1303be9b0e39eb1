"""Whether all of a JPEG from one block on has other levels, as a damaged file has whose decoder
found its way back: the first coefficient of a block is coded as the difference to the one before
(ITU-T T.81, F.1.1.5.1), so that one wrong difference moves all that follow.

In the row of blocks that it begins in, the left part jumps at its lower end and the right part at
its upper one, and both by the same levels, whatever they show."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from PIL import Image

from tagger.imaging.card.lines import medians_down
from tagger.imaging.scan.block_borders import BLOCK, border_means, border_rows

LATER = 2  # rows of blocks below a jump, where it goes on
ROWS = (1, 2)  # rows of blocks that are coded together: chroma may be half as fine (T.81, A.2.3)
LEAST = 6.0  # levels that most blocks jump by
ALIKE, PART = 2.5, 0.25  # levels, and part of the jump, by which blocks may jump otherwise
SPLIT, IN_ORDER = 0.5, 0.95  # of the blocks that jump alike, of these on their side of the split
MOST = 0.85  # of the blocks that jump alike where all do so at one end
BLURRED = 3.0  # of a jump: what changes so much right before and behind it comes by no block
FULL, EMPTY = 249.0, 4.0  # levels beyond which there is no room to jump as far as the others
BOTH = 0.06  # of the blocks at least that jump at the one end, and at the other
UNLIKE = 24.0  # levels that blocks differ by which show a card and what lies around it
SEEN = 0.35  # of the blocks that tell card from bed, and have room to jump

Jumps = npt.NDArray[np.float32]
Means = npt.NDArray[np.int16]


def shifted_at(picture: Image.Image) -> int | None:
    """The row from which on a picture, RGB and as stored, has other levels; None where none is."""
    rows = border_rows(picture)
    if len(rows) < 4 or picture.width < 16 * BLOCK:
        return None
    # With a sign, and twice as many levels, which are whole numbers.
    means = border_means(picture, rows).astype(np.int16)
    farther, above, below, deeper = (means[:, at] for at in range(4))
    before, behind = above - farther, deeper - below
    # What goes on changing above and below is no jump.
    twice = 2 * (below - above) - (before + behind)
    # Nor is a printed edge, which a scanner blurs.
    blurred = 2 * (np.abs(before) + np.abs(behind))
    twice *= blurred <= np.maximum(int(2 * ALIKE), int(BLURRED) * np.abs(twice))
    jump: Jumps = twice.astype(np.float32) / np.float32(2)
    for together in ROWS:
        first = _first(jump, above, below, together)
        if first is not None:
            return int(rows[first])
    return None


def _first(jump: Jumps, above: Means, below: Means, together: int) -> int | None:
    """Which of the rows is the upper end of the row of blocks that a shift begins in."""
    upper, lower = jump[:-together], jump[together:]
    both = upper + lower
    # What half of the blocks jump by, all of them do by half of it on average.
    # As a product, which numpy makes in a tenth of the time of a mean.
    average = np.full(both.shape[1], 1 / both.shape[1], np.float32) @ both
    likely = np.flatnonzero(np.abs(average).max(axis=1) >= SPLIT * LEAST)
    usuals = medians_down(both[likely])
    for row, usual in zip(likely.tolist(), usuals, strict=True):
        channel = int(np.abs(usual).argmax())
        if abs(usual[channel]) < LEAST:
            continue
        ends = (upper[row, :, channel], lower[row, :, channel])
        later = min(row + together + LATER, len(below) - 1)
        levels = tuple(
            seen[:, channel] for seen in (above[row], below[row + together], above[later])
        )
        if _is_shift(ends, levels, float(usual[channel])):
            return row
    return None


def _is_shift(ends: tuple[Jumps, Jumps], levels: tuple[Means, ...], usual: float) -> bool:
    """Whether a row of blocks jumps by the usual levels, each block at one of its ends. `levels`:
    before, after and later on."""
    upper, lower = ends
    off = np.abs(upper + lower - usual)
    alike = off <= max(ALIKE, PART * abs(usual))
    full = levels[1] >= FULL if usual > 0 else levels[1] <= EMPTY
    stopped = full & ((upper + lower) * np.sign(usual) >= min(ALIKE, abs(usual) / 2))
    part = float((alike | stopped).mean())
    if part < SPLIT or not _reaches_ends(alike | full):
        return False
    at_top = np.abs(upper) > np.abs(lower)
    if _is_split(at_top[alike | stopped]):
        return True
    return part >= MOST and _is_of_all(levels[0], alike & ~stopped) and _crosses_card(levels, usual)


def _reaches_ends(found: npt.NDArray[np.bool_]) -> bool:
    """Whether the blocks next to the outermost ones are among those found. Beside a card's edge the
    bed goes on as it was. (The outermost may be parts of a block.)"""
    ends = np.concatenate([found[1:3], found[-3:-1]])
    return int(ends.sum()) >= len(ends) - 1


def _is_split(at_top: npt.NDArray[np.bool_]) -> bool:
    """Whether the blocks on the left jump at the lower end, those on the right at the upper one."""
    part = float(at_top.mean())
    if not BOTH <= part <= 1 - BOTH:
        return False
    first = len(at_top) - int(at_top.sum())
    order = float(at_top[first:].mean()), float(at_top[:first].mean())
    return order[0] >= IN_ORDER and order[1] <= 1 - IN_ORDER


def _is_of_all(before: Means, free: npt.NDArray[np.bool_]) -> bool:
    """Whether card and bed jump alike; a strip that a machine fills up takes all to one level."""
    if float(free.mean()) < SEEN:
        return False
    low, high = np.percentile(before[free], (10, 90))
    return bool(high - low >= UNLIKE)


def _crosses_card(levels: tuple[Means, ...], usual: float) -> bool:
    """Whether the middle of a row of blocks is not what both of its ends are, and all of them stay
    as they jumped. Where nothing but a bed lies, whatever begins on it crosses all of the scan."""
    before = levels[0]
    quarter = len(before) // 4
    parts = slice(quarter, -quarter), slice(4), slice(-4, None)
    middle, *ends = (float(np.median(before[part])) for part in parts)
    most = max(ALIKE, PART * abs(usual))
    changes = (after - before for after in levels[1:])
    goes_on = all(
        abs(float(np.median(change[part])) - usual) <= most for change in changes for part in parts
    )
    return goes_on and min(abs(middle - end) for end in ends) >= UNLIKE
