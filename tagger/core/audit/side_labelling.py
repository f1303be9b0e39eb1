"""Which scan of a lot is a front and which a back, told from how they look, and where the feeding
slipped.

Look-alikes attract: backs of one set look alike, and often fronts do. Neighbours repel: front and
back come in turn. The scans are first put in turn, with slips where too many look-alikes would fall
on different sides; then each scan is held against the fronts and the backs around it and the best
sequence is found (Viterbi), until nothing changes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tagger.core.audit.initial_segmentation import first_guess

# what a slip costs, as a logarithm of odds: one in 150 scans, of which a look-alike or two can
# convince
SLIP = 5.0
NEAREST = (
    5  # of the fronts and of the backs around, so many that are most alike say what a scan is like
)
SPREAD = 2.6  # of likenesses of one kind, standard deviation
MOST = 8.0  # what one scan can say for or against a side

Band = Sequence[Sequence[float]]


@dataclass(frozen=True)
class SideLabels:
    """The side of each scan, True for a front, and how much better that is than the other side for
    it alone, as a logarithm of odds (0: it could be either)."""

    fronts: tuple[bool, ...]
    sure: tuple[float, ...]


def tell_sides(band: Band, front_first: bool = True) -> SideLabels:
    """The sides of scans in feeding order, which are expected to come front, back, front, back (or
    the other way).

    `band` has for each scan its likeness to each of the scans that follow it, some dozens far:
    above 0 where two look like the same side of the same set. All sides turned round could not be
    seen from here."""
    count = len(band)
    if count == 0:
        return SideLabels((), ())
    fronts = first_guess(band, front_first)
    near = _neighbours(band)
    for _ in range(6):
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


def _profile(near: Sequence[tuple[int, float]], fronts: Sequence[bool]) -> tuple[float, float]:
    """How alike a scan is to the fronts and to the backs around it: the mean of the most alike of
    each."""
    sums, counts = [0.0, 0.0], [0, 0]
    for other, value in near:
        side = 0 if fronts[other] else 1
        if counts[side] < NEAREST:
            sums[side] += value
            counts[side] += 1
        elif counts[1 - side] >= NEAREST:
            break
    return (sums[0] / max(1, counts[0]), sums[1] / max(1, counts[1]))


def _gains(near: Sequence[Sequence[tuple[int, float]]], fronts: Sequence[bool]) -> list[float]:
    """For each scan how much better it is as a front than as a back, as a logarithm of odds.

    It is compared with what fronts and what backs around it are like, itself left out.
    """
    profiles = [_profile(row, fronts) for row in near]
    gains = []
    for at in range(len(near)):
        around = range(max(0, at - 30), min(len(near), at + 31))
        means = []
        for front in (True, False):
            own = [profiles[other] for other in around if other != at and fronts[other] is front]
            means.append(_middle(own) if own else (0.0, 0.0))
        costs = [
            min(
                MOST,
                sum(
                    ((mine - usual) / SPREAD) ** 2 / 2
                    for mine, usual in zip(profiles[at], mean, strict=True)
                ),
            )
            for mean in means
        ]
        apart = sum(((a - b) / SPREAD) ** 2 / 2 for a, b in zip(*means, strict=True))
        # Where fronts and backs are alike to everything, nothing can be told from it.
        gains.append((costs[1] - costs[0]) * min(1.0, apart / 2))
    return gains


def _middle(profiles: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """The medians of both numbers."""
    half = len(profiles) // 2
    return sorted(one[0] for one in profiles)[half], sorted(one[1] for one in profiles)[half]


def _best_sequence(gains: Sequence[float], front_first: bool) -> list[bool]:
    """The sides that fit best, where two scans of the same side in a row cost SLIP (Viterbi)."""
    score = [0.0 if front_first else -SLIP, -SLIP if front_first else 0.0]
    score = [score[0] + gains[0] / 2, score[1] - gains[0] / 2]
    came: list[tuple[int, int]] = []
    for gain in gains[1:]:
        to_front = (score[0] - SLIP, score[1])
        to_back = (score[0], score[1] - SLIP)
        came.append((0 if to_front[0] > to_front[1] else 1, 0 if to_back[0] >= to_back[1] else 1))
        score = [max(to_front) + gain / 2, max(to_back) - gain / 2]
    side = 0 if score[0] >= score[1] else 1
    out = [side == 0]
    for step in reversed(came):
        side = step[side]
        out.append(side == 0)
    return out[::-1]
