"""What lies beside the four sides of what may be a card: the bed, its shadow, clear film."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from tagger.imaging.card.lines import LIGHT, WORK_DPI, median

if TYPE_CHECKING:
    from tagger.imaging.card.background import Bed
    from tagger.imaging.card.card_edges import Corners, Edges
    from tagger.imaging.card.lines import Pixels
    from tagger.imaging.seen_levels import SeenLevels

BEYOND = (12, 16, 20, 24)  # pixels beyond a side, past its shadow, where the bed must be seen
NEARER = (5, 7, 9)  # the same where the scan ends sooner
FADED = 0.75  # of a shadow's depth at all of them, at most, at the far ones: a border is as dark
LIKE_BED, CLEAR_FILM = 3.0, 40.0  # levels off the bed: bare, and behind clear film at most
DARK, PAPER = (
    120.0,
    12.0,
)  # of a bed that is lighter than the first, what is so much lighter is paper
TINT = 8.0  # levels that a channel is off another one where a bed is seen: film is clear


class _Beside(NamedTuple):
    """By how many levels what lies beside a side is not the bed, by how many it is lighter, how
    much that varies along the side, and by how many its channels are off each other."""

    off: float
    lighter: float
    uneven: float
    tint: float


BEYOND_SCAN = _Beside(math.inf, math.inf, math.inf, 0.0)


def film_sides(work: SeenLevels, bed: Bed, corners: Corners, dots: float) -> int:
    """How many sides look like those of a sleeve or a case, through which the bed is seen; none on
    a light bed, where paper looks like that too. Film makes a dark bed lighter, and no other; what
    is seen through it is as even as the bed, which print is not, and has its colour. `dots`: dots
    per inch of the working picture."""
    if bed.level > LIGHT:
        return 0
    inside = [-at for at in BEYOND[:2]]
    lighter = CLEAR_FILM if bed.level < DARK else PAPER
    most = _evenness(bed)
    return sum(
        side.off <= CLEAR_FILM
        and -most <= side.lighter <= lighter
        and side.uneven <= most
        and side.tint <= TINT
        for side in _off_bed(work, bed, corners, inside, dots)
    )


def _evenness(bed: Bed) -> float:
    """How many levels a bed is off itself at most, where nothing lies on it."""
    return max(LIKE_BED, 1.5 * bed.noise)


def goes_on(work: SeenLevels, bed: Bed, found: Edges) -> bool:
    """Whether the bed is seen at some distance from each side of a card, at the far places where it
    is darker at the near ones: a shadow fades."""
    most = _evenness(bed)
    near = _off_bed(work, bed, found.corners, BEYOND, found.dpi)
    if BEYOND_SCAN in near:
        nearer = _off_bed(work, bed, found.corners, NEARER, found.dpi)
        pairs = zip(near, nearer, strict=True)
        near = [other if one is BEYOND_SCAN else one for one, other in pairs]
    if all(side.off <= most for side in near):
        return True
    if any(side.off > most and side.lighter > 0 for side in near):
        return False
    far = _off_bed(work, bed, found.corners, BEYOND[2:], found.dpi)
    return all(
        side.off <= max(most, min(2 * most, FADED * before.off))
        for side, before in zip(far, near, strict=True)
    )


def _off_bed(
    work: SeenLevels, bed: Bed, corners: Corners, beyond: Sequence[float], dots: float
) -> list[_Beside]:
    """What lies so many pixels beyond each side, of a picture at WORK_DPI; of a finer one, as many
    more."""
    middle = np.asarray(corners).mean(axis=0)
    size = np.asarray([work.shape[1], work.shape[0]])
    shares = (np.arange(24)[:, None] + 0.5) / 24
    finer = max(1.0, dots / WORK_DPI)
    out: list[_Beside] = []
    for one, other in pairwise([*corners, corners[0]]):
        start, end = np.asarray(one), np.asarray(other)
        way = (start + end) / 2 - middle
        along = start + (end - start) * shares
        off = []
        for away in beyond:
            at = along + finer * away * way / np.hypot(*way)
            if at.min() < 0 or bool((at > size - 1).any()):
                continue
            x, y = (at / size * 2 - 1).astype(np.float32).T
            seen = work.at(*at.astype(np.int64).T)
            off.append(seen - bed.at(x, y))
        out.append(_beside(np.concatenate(off)) if off else BEYOND_SCAN)
    return out


def _beside(off: Pixels) -> _Beside:
    """What the levels by which some places are off the bed, places x 3, say together."""
    by = off.mean(axis=1)
    usual = median(by)
    channels = [median(channel) for channel in off.T]
    return _Beside(
        median(np.abs(by)), usual, median(np.abs(by - usual)), max(channels) - min(channels)
    )
