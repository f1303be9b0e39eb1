"""Which scan of a lot is a front and which a back, told from how they look, and where the feeding
slipped.

Look-alikes attract: backs of one set look alike, and often fronts do. Neighbours repel: front and
back come in turn. The scans are first put in turn, with slips where too many look-alikes would fall
on different sides; then each scan is held against the fronts and the backs around it and the best
sequence is found (Viterbi), until nothing changes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tagger.core.audit.initial_segmentation import initial_sides

# what a slip costs, as a logarithm of odds: one in 150 scans, of which a look-alike or two can
# convince
SLIP = 5.0
# of the fronts and of the backs around, so many that are most alike say what a scan is like
NEAREST = 5
AROUND = 30  # scans to either side whose fronts and backs a scan is compared with
ROUNDS = 6  # of labelling, at most: two labellings could follow each other for ever
SPREAD = 2.6  # of likenesses of one kind, standard deviation
MOST = 8.0  # what one scan can say for or against a side

Band = Sequence[Sequence[float]]
Profile = tuple[float, float]  # how alike a scan is to the fronts and to the backs around it


@dataclass(frozen=True)
class SideLabels:
    """The side of each scan, True for a front, and how much better that is than the other side for
    it alone, as a logarithm of odds (0: it could be either)."""

    fronts: tuple[bool, ...]
    sure: tuple[float, ...]


def label_sides(band: Band, front_first: bool = True) -> SideLabels:
    """The sides of scans in feeding order, which are expected to come front, back, front, back (or
    the other way).

    `band` has for each scan its likeness to each of the scans that follow it, some dozens far:
    above 0 where two look like the same side of the same set. All sides turned round could not be
    seen from here."""
    count = len(band)
    if count == 0:
        return SideLabels((), ())
    fronts = initial_sides(band, front_first)
    near = _neighbours(band)
    for _ in range(ROUNDS):
        gains = _gains(near, fronts)
        after = _best_sequence(gains, front_first)
        if after == fronts:
            break
        fronts = after
    gains = _gains(near, fronts)
    sure = tuple(gain if front else -gain for front, gain in zip(fronts, gains, strict=True))
    return SideLabels(tuple(fronts), sure)


def _neighbours(band: Band) -> list[list[tuple[int, float]]]:
    """For each scan those around it with their likeness, most alike first."""
    near: list[list[tuple[int, float]]] = [[] for _ in band]
    for at, row in enumerate(band):
        for step, value in enumerate(row, start=1):
            near[at].append((at + step, value))
            near[at + step].append((at, value))
    for row_of in near:
        row_of.sort(key=lambda pair: -pair[1])
    return near


def _profile(near: Sequence[tuple[int, float]], fronts: Sequence[bool]) -> Profile:
    """How alike a scan is to the fronts and to the backs around it: the mean of the most alike of
    each."""
    sums, counts = [0.0, 0.0], [0, 0]
    for other, value in near:
        side = 0 if fronts[other] else 1
        if counts[side] < NEAREST:
            sums[side] += value
            counts[side] += 1
        # Most alike come first, so that the rest has no say once both have enough.
        elif counts[1 - side] >= NEAREST:
            break
    return (sums[0] / max(1, counts[0]), sums[1] / max(1, counts[1]))


def _gains(near: Sequence[Sequence[tuple[int, float]]], fronts: Sequence[bool]) -> list[float]:
    """For each scan how much better it is as a front than as a back, as a logarithm of odds."""
    profiles = [_profile(row, fronts) for row in near]
    return [_gain(at, profiles, fronts) for at in range(len(near))]


def _gain(at: int, profiles: Sequence[Profile], fronts: Sequence[bool]) -> float:
    front, back = (_usual(at, profiles, fronts, side) for side in (True, False))
    as_front, as_back = (min(MOST, _cost(profiles[at], usual)) for usual in (front, back))
    # Where fronts and backs are alike to everything, nothing can be told from it.
    return (as_back - as_front) * min(1.0, _cost(front, back) / 2)


def _usual(at: int, profiles: Sequence[Profile], fronts: Sequence[bool], side: bool) -> Profile:
    """What the fronts (or the backs) around a scan are like: the medians of both numbers."""
    # The scan itself is left out: it would speak for the side that it was given.
    around = (*range(max(0, at - AROUND), at), *range(at + 1, min(len(profiles), at + AROUND + 1)))
    own = [profiles[other] for other in around if fronts[other] is side]
    if not own:
        return 0.0, 0.0
    half = len(own) // 2
    return sorted(one[0] for one in own)[half], sorted(one[1] for one in own)[half]


def _cost(one: Profile, other: Profile) -> float:
    """How unlikely one profile is where another is usual, as a logarithm of odds."""
    to_fronts, to_backs = (one[0] - other[0]) / SPREAD, (one[1] - other[1]) / SPREAD
    return to_fronts**2 / 2 + to_backs**2 / 2


def _best_sequence(gains: Sequence[float], front_first: bool) -> list[bool]:
    """The sides that fit best, where two scans of the same side in a row cost SLIP (Viterbi)."""
    front, back = gains[0] / 2, -gains[0] / 2
    # The second side at the very beginning is a slip as well.
    if front_first:
        back -= SLIP
    else:
        front -= SLIP
    # for each scan but the first, whether a front was before it if it is a front, or a back
    came: list[tuple[bool, bool]] = []
    for gain in gains[1:]:
        came.append((front - SLIP > back, front >= back - SLIP))
        front, back = max(front - SLIP, back) + gain / 2, max(front, back - SLIP) - gain / 2
    is_front = front >= back
    out = [is_front]
    for if_front, if_back in reversed(came):
        is_front = if_front if is_front else if_back
        out.append(is_front)
    return out[::-1]
