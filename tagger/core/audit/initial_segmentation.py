"""A first guess at which scan is which side: strictly in turn, but for the slips that look-alikes
ask for. Greedy segmentation by change points."""

from __future__ import annotations

from collections.abc import Sequence

_CHANGE_POINT = 60.0  # sum of likenesses that must speak for a slip
_MOST_SLIPS = 40  # one is found a round, and each round looks at all of the lot again
_LEAST, _MOST = -0.4, 4.0  # bounds of one likeness: that two scans look different says little


def initial_sides(band: Sequence[Sequence[float]], front_first: bool) -> list[bool]:
    """True for a front, for scans in feeding order. `band` is as for `label_sides`.

    With the scans in turn, alike scans an even number apart are as they should be, and those an odd
    number apart speak for one slip between them. The place that most speaks for is turned round
    from there on, until no place is left."""
    count = len(band)
    turn = [1] * count
    for _ in range(_MOST_SLIPS):
        sums = _sums(band, turn)
        change = min(range(1, count), key=lambda at: sums[at], default=0)
        if change == 0 or sums[change] > -_CHANGE_POINT:
            break
        for at in range(change, count):
            turn[at] = -turn[at]
    return [(turn[at] == 1) == ((at % 2 == 0) == front_first) for at in range(count)]


def _sums(band: Sequence[Sequence[float]], turn: Sequence[int]) -> list[float]:
    """For each place between two scans the sum over all pairs across it: likeness, negative for
    pairs that are on different sides as things stand."""
    change = [0.0] * (len(band) + 1)
    for at, row in enumerate(band):
        for step, value in enumerate(row, start=1):
            kept = min(_MOST, max(_LEAST, value))
            if step % 2 == 1:
                kept = -kept
            kept *= turn[at] * turn[at + step]
            change[at + 1] += kept
            change[at + step + 1] -= kept
    total, sums = 0.0, []
    for value in change:
        total += value
        sums.append(total)
    return sums
