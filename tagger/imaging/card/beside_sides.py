"""What lies beside the four sides of what may be a card: the bed, its shadow, clear film."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from tagger.imaging.card.lines import LIGHT, median

if TYPE_CHECKING:
    from tagger.imaging.card.background import Bed
    from tagger.imaging.card.card_edges import Corners, Edges
    from tagger.imaging.card.lines import Levels

BEYOND = (12, 16, 20, 24)  # pixels beyond a side, past its shadow, where the bed must be seen
NEARER = (5, 7, 9)  # the same where the scan ends sooner
FADED = 0.75  # of a shadow's depth at all of them, at most, at the far ones: a border is as dark
LIKE_BED, CLEAR_FILM = 3.0, 40.0  # levels off the bed: bare, and behind clear film at most
DARK, PAPER = (
    120.0,
    12.0,
)  # of a bed that is lighter than the first, what is so much lighter is paper


def film_sides(work: Levels, bed: Bed, corners: Corners) -> int:
    """How many sides look like those of a sleeve or a case, through which the bed is seen; none on
    a light bed, where paper looks like that too. Film makes a dark bed lighter, and no other; what
    is seen through it is as even as the bed, which print is not."""
    if bed.level > LIGHT:
        return 0
    inside = [-at for at in BEYOND[:2]]
    lighter = CLEAR_FILM if bed.level < DARK else PAPER
    most = _evenness(bed)
    return sum(
        off <= CLEAR_FILM and -most <= by <= lighter and uneven <= most
        for off, by, uneven in _off_bed(work, bed, corners, inside)
    )


def _evenness(bed: Bed) -> float:
    """How many levels a bed is off itself at most, where nothing lies on it."""
    return max(LIKE_BED, 1.5 * bed.noise)


def goes_on(work: Levels, bed: Bed, found: Edges) -> bool:
    """Whether the bed is seen at some distance from each side of a card, at the far places where it
    is darker at the near ones: a shadow fades."""
    most = _evenness(bed)
    near = _off_bed(work, bed, found.corners, BEYOND)
    if any(math.isinf(off) for off, *_ in near):
        nearer = _off_bed(work, bed, found.corners, NEARER)
        near = [
            min(pair, key=lambda one: math.isinf(one[0])) for pair in zip(near, nearer, strict=True)
        ]
    if all(off <= most for off, *_ in near):
        return True
    if any(off > most and by > 0 for off, by, _ in near):
        return False
    far = _off_bed(work, bed, found.corners, BEYOND[2:])
    return all(
        off <= max(most, min(2 * most, FADED * before))
        for (off, *_), (before, *_) in zip(far, near, strict=True)
    )


def _off_bed(
    work: Levels, bed: Bed, corners: Corners, beyond: Sequence[float]
) -> list[tuple[float, float, float]]:
    """By how many levels what lies so many pixels beyond each side is not the bed, by how many it
    is lighter, and how much that varies along the side; infinite where it is beyond the scan."""
    middle = np.asarray(corners).mean(axis=0)
    size = np.asarray([work.shape[1], work.shape[0]])
    shares = (np.arange(24)[:, None] + 0.5) / 24
    out: list[tuple[float, float, float]] = []
    for one, other in pairwise([*corners, corners[0]]):
        start, end = np.asarray(one), np.asarray(other)
        way = (start + end) / 2 - middle
        along = start + (end - start) * shares
        off = []
        for away in beyond:
            at = along + away * way / np.hypot(*way)
            if at.min() < 0 or bool((at > size - 1).any()):
                continue
            x, y = (at / size * 2 - 1).astype(np.float32).T
            seen = work[at[:, 1].astype(int), at[:, 0].astype(int), :3].astype(np.float32)
            off.append((seen - bed.at(x, y)).mean(axis=1))
        by = np.concatenate(off) if off else np.asarray([math.inf])
        usual = median(by)
        uneven = median(np.abs(by - usual)) if off else math.inf
        out.append((median(np.abs(by)), usual, uneven))
    return out
