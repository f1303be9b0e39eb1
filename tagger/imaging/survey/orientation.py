"""Which cards lie upside down, told by their lot-mates.

What the sides of a set have in common (a frame, a plate, a badge, the layout of a back) lies the
same way in all of them. With upright as +1 and upside down as -1 the ways of a lot's fronts, and
those of its backs, are a Gaussian process as the sides are (`side_kernel`), whose covariance is how
much more alike two scans are as they lie than with one of them turned: turning a scan changes its
sign, and a design that looks the same both ways says nothing. Both sides of a card are then summed
along the lot by a hidden Markov model (Rabiner, A tutorial on hidden Markov models, 1989).

What most of its mates say is taken as upright: a set that was fed upside down as a whole cannot be
seen from here. Cards that lie on their long side are known by their shape (`Edges.sideways`) and
are stood up first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import numpy.typing as npt

from tagger.core.audit.orientation_runs import CardWay
from tagger.imaging.survey.fields import Array, colours_of, features, halved

FEWEST = 4  # sides, below which they say nothing of each other
REACH = 72  # cards: how far along the lot sides are compared
CHUNK = 256  # cards that are judged at once, with those within REACH around them
ROUNDS = 5
# Of the usual distance between two sides, and the shares of variance; read off tuning lots.
NEAR, FAR, OWN = 0.5, 1.2, 0.15
WORST = 30.0  # levels that one field may say
TRUST = 4.0  # how much more the looks say than scans would that err by themselves
MOST = 10.0  # nats that one side may say
# Levels by which a side must differ from itself turned over, to say anything, and to say all.
FAINT, PLAIN = 8.0, 13.0
# Of that, what is left of it in fields of twice the size: for a pattern, for a design with a top.
FINE, COARSE = 0.44, 0.54
# Nats: a card was fed upside down, one side of a run lies so, a run ends.
BOTH, ONE, ENDS = 5.5, 7.0, 0.7
EACH = 1.0  # nats a side: what is weak for each of many is no reason to turn them all
MOST_RUNS = 12  # that are looked for at once
STATES = ((0, 0), (1, 1), (1, 0), (0, 1))  # whether the front and the back are upside down

Floats = npt.NDArray[np.float64]
Sides = tuple[bytes, bytes]


def find_orientations(cards: Sequence[Sides]) -> list[CardWay]:
    """How cards lie, in feeding order. A card is the `fields.fields_of` its front and of its back,
    empty for a side that is not there or says nothing."""
    if not cards:
        return []
    sides = [_Side([card[which] for card in cards]) for which in (0, 1)]
    # Sides that lie upside down in a row speak for each other, so they are turned at once first.
    down = np.stack([side.turned_runs() for side in sides], axis=1)
    shares = np.ones((len(cards), len(STATES)))
    # Each round judges the cards by their mates as the last one found them.
    for _ in range(ROUNDS):
        odds = np.stack([side.odds(down[:, at]) for at, side in enumerate(sides)], axis=1)
        shares = _shares(odds)
        after = np.asarray(STATES, dtype=bool)[shares.argmax(axis=1)]
        if bool((after == down).all()):
            break
        down = after
    return [
        CardWay(bool(front), bool(back), float(share))
        for (front, back), share in zip(down, shares.max(axis=1), strict=True)
    ]


class _Side:
    """All fronts or all backs of a lot."""

    def __init__(self, fields: Sequence[bytes]) -> None:
        self._count = len(fields)
        self._there = np.array([at for at, one in enumerate(fields) if one], dtype=np.intp)
        self._parts: list[tuple[slice, slice, Floats]] = []
        if len(self._there) >= FEWEST:
            self._parts = list(_parts([one for one in fields if one]))

    def turned_runs(self) -> npt.NDArray[np.bool_]:
        """Which sides would lie as the others do, were they turned over a run at a time."""
        signs = np.ones(len(self._there))
        for window, own, inverse in self._parts:
            turned = _runs_turned(inverse)
            signs[own] = turned[own.start - window.start :][: own.stop - own.start]
        out = np.zeros(self._count, dtype=bool)
        out[self._there] = signs < 0
        return out

    def odds(self, down: npt.NDArray[np.bool_]) -> Floats:
        """What speaks for each card's side being upside down, in nats, where the others lie so."""
        signs = np.where(down[self._there], -1.0, 1.0)
        said = np.zeros(len(signs))
        for window, own, inverse in self._parts:
            variance = 1 / np.diag(inverse)
            # The prediction of each from all others (Rasmussen and Williams, 2006, eq. 5.12).
            expected = signs[window] - inverse @ signs[window] * variance
            said[own] = (-2 * TRUST * expected / variance)[own.start - window.start :][
                : own.stop - own.start
            ]
        out = np.zeros(self._count)
        out[self._there] = np.clip(said, -MOST, MOST)
        return out


def _parts(fields: Sequence[bytes]) -> Iterator[tuple[slice, slice, Floats]]:
    """Stretches of a side's scans: what is looked at, what is judged of it, and the inverse of its
    covariance."""
    for start in range(0, len(fields), CHUNK):
        own = slice(start, min(len(fields), start + CHUNK))
        window = slice(max(0, start - REACH), min(len(fields), own.stop + REACH))
        inverse = np.asarray(np.linalg.inv(_covariance(fields[window])), dtype=np.float64)
        yield window, own, inverse


def _runs_turned(inverse: Floats) -> Floats:
    """The signs of a part's scans, of which runs were turned over as long as that makes all of them
    likelier."""
    count = len(inverse)
    signs = np.ones(count)
    lengths = np.arange(count + 1)[None] - np.arange(count + 1)[:, None]
    for _ in range(MOST_RUNS):
        weights = inverse * np.outer(signs, signs)
        gains = 2 * TRUST * _across(weights) - ONE - EACH * lengths
        gains[(lengths < 1) | (lengths > count / 2)] = -np.inf
        first, past = np.unravel_index(int(gains.argmax()), gains.shape)
        if gains[first, past] <= 0:
            break
        signs[first:past] *= -1
    return signs


def _across(weights: Floats) -> Floats:
    """For each stretch of a matrix's rows (row: its first, column: one past its last) the sum of
    its weights to all rows outside of it."""
    rows = np.concatenate([[0.0], weights.sum(axis=1).cumsum()])
    sums = np.zeros((len(rows), len(rows)))
    sums[1:, 1:] = weights.cumsum(axis=0).cumsum(axis=1)
    corner = np.diag(sums)
    inside = corner[None] - sums - sums.T + corner[:, None]
    return np.asarray(rows[None] - rows[:, None] - inside)


def _covariance(fields: Sequence[bytes]) -> Floats:
    count = len(fields)
    as_is, over = _features(fields)
    far, turned = np.zeros((count, count)), np.zeros((count, count))
    near = np.zeros((count, count), dtype=bool)
    for at in range(count):
        after = slice(at, at + REACH)
        far[at, after] = _apart(as_is[after], as_is[at])
        turned[at, after] = _apart(over[after], as_is[at])
        near[at, after] = True
    pairs = far[np.triu(near, 1)]
    usual = max(1.0, float(np.median(pairs))) if pairs.size else 1.0
    gap = np.arange(count)[None] - np.arange(count)[:, None]
    fade = np.where(near, 1 - gap / (REACH + 1), 0.0)
    tells = np.sqrt(_tells(fields))
    cover = (_alike(far / usual) - _alike(turned / usual)) * fade * np.outer(tells, tells)
    both = np.triu(cover) + np.triu(cover, 1).T
    return np.asarray(both + OWN * np.eye(count), dtype=np.float64)


def _tells(fields: Sequence[bytes]) -> Floats:
    """How much each side can say, 0 to 1."""
    # A design without a top differs from itself turned over by how it was scanned only: by half a
    # field across or down, where the crop is off by a millimetre.
    colours = colours_of(fields)
    least = _from_itself(colours, (-2, -1, 0, 1, 2), 2)
    plain = np.clip((least - FAINT) / (PLAIN - FAINT), 0, 1)
    # A pattern finer than the fields differs in them, but not in larger ones.
    larger = _from_itself(halved(colours), (-1, 0, 1), 1) / np.maximum(least, 1)
    top = np.clip((larger - FINE) / (COARSE - FINE), 0, 1)
    return np.asarray(plain * top, dtype=np.float64)


def _from_itself(colours: Array, steps: Sequence[int], rim: int) -> Floats:
    """By how many levels each of some sides differs from itself turned over, at the least, moved by
    so many halves of a field in all directions; without so many fields of its rim."""
    over = colours[:, ::-1, ::-1]
    least = np.full(len(colours), np.inf)
    for moved in _moved(colours, steps):
        apart = np.abs(moved - over)[:, rim:-rim, rim:-rim].mean(axis=(1, 2, 3))
        least = np.minimum(least, apart)
    return least


def _moved(colours: Array, steps: Sequence[int]) -> Iterator[Array]:
    """Colours moved by so many halves of a field in all directions."""
    for down in steps:
        moved = _by_halves(colours, down, 1)
        yield from (_by_halves(moved, across, 2) for across in steps)


def _by_halves(colours: Array, halves: int, axis: int) -> Array:
    """Colours moved by so many halves of a field, 2 at most; what leaves comes in at the other
    end."""
    if halves == 0:
        return colours
    whole = np.roll(colours, 1 if halves > 0 else -1, axis)
    moved = whole if abs(halves) == 2 else (colours + whole) / 2
    return np.asarray(moved, dtype=np.float32)


def _apart(many: Array, one: Array) -> Floats:
    """The mean difference in levels of many sides to one."""
    # Bounded: a field where another player stands must not outvote the frame around it.
    return np.asarray(np.minimum(np.abs(many - one), WORST).mean(axis=1), dtype=np.float64)


def _alike(far: Floats) -> Floats:
    return np.asarray((np.exp(-((far / NEAR) ** 2)) + np.exp(-((far / FAR) ** 2))) / 2)


def _features(fields: Sequence[bytes]) -> tuple[Array, Array]:
    """What sides are compared by, a row a side, as they lie and turned over."""
    # Without the rim: what of the bed is seen beside the card differs from scan to scan.
    small = halved(colours_of(fields))[:, 1:-1, 1:-1]
    return features(small), features(small[:, ::-1, ::-1])


def _shares(odds: Floats) -> Floats:
    """How likely each card is in each of STATES, with the odds of its front and its back."""
    said = odds @ np.asarray(STATES, dtype=np.float64).T
    enter = np.array([0.0, -BOTH, -ONE, -ONE])
    moves = np.tile(enter, (len(STATES), 1))
    moves[1:] -= ENDS
    for state in range(1, len(STATES)):
        moves[state, state] = -ENDS
    ahead, behind = np.zeros_like(said), np.zeros_like(said)
    ahead[0] = enter + said[0]
    for at in range(1, len(said)):
        ahead[at] = np.logaddexp.reduce(ahead[at - 1][:, None] + moves, axis=0) + said[at]
    for at in range(len(said) - 2, -1, -1):
        behind[at] = np.logaddexp.reduce(moves + said[at + 1] + behind[at + 1], axis=1)
    both = ahead + behind
    return np.asarray(np.exp(both - np.logaddexp.reduce(both, axis=1, keepdims=True)))
