"""Which sides of one kind (the fronts of a lot, or its backs) lie upside down, told by their lot-mates.

Each side is held against those around it: a hash of it as it lies and one of it turned. What most of a set's sides say
is taken as upright, so a set that was fed upside down as a whole cannot be seen from here.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

CHANGE = 4.0  # what it costs that the next side lies the other way, as a logarithm of odds
LEAST = 3.0  # what must speak for a side's way up before it is given
NEAREST = 24  # sides around that have a say, those that say most
EVEN = 0.4  # a set of which at least this share lies the other way is to be asked about

Band = Sequence[Sequence[float]]


class Way(StrEnum):
    """How a side lies."""

    UPRIGHT = "upright"
    UPSIDE_DOWN = "upside down"
    UNKNOWN = "unknown"


@dataclass(frozen=True)
class Ways:
    """How each side lies, and how sure that is: what its mates say for it, as a logarithm of odds."""

    ways: tuple[Way, ...]
    sure: tuple[float, ...]


@dataclass(frozen=True)
class Stretch:
    """Sides `first` to `last` (positions in the lot, from 1) lie upside down; `ask` where nearly as many of the set lie
    the other way, so that either could be upright."""

    first: int
    last: int
    ask: bool


def tell_ways(band: Band) -> Ways:
    """How sides of one kind lie, in feeding order. `band` has for each the agreement with each of those that follow it:
    above 0 where both lie the same way up."""
    near: list[list[tuple[int, float]]] = [[] for _ in band]
    for at, row in enumerate(band):
        for step, value in enumerate(row, start=1):
            near[at].append((at + step, value))
            near[at + step].append((at, value))
    for mates in near:
        mates.sort(key=lambda pair: -abs(pair[1]))
        del mates[NEAREST:]
    signs = [1] * len(band)
    for _ in range(12):
        after = _best([_field(mates, signs) for mates in near])
        if after == signs:
            break
        signs = after
    signs = _majority(near, signs)
    field = [_field(mates, signs) * sign for mates, sign in zip(near, signs, strict=True)]
    names = (Way.UPRIGHT, Way.UPSIDE_DOWN)
    ways = tuple(
        Way.UNKNOWN if value < LEAST else names[sign < 0] for value, sign in zip(field, signs, strict=True)
    )
    return Ways(ways, tuple(field))


def _field(mates: Sequence[tuple[int, float]], signs: Sequence[int]) -> float:
    """What a side's mates say: above 0 for upright. Mates of one set are not independent: their sum is tempered."""
    if not mates:
        return 0.0
    return sum(value * signs[other] for other, value in mates) / len(mates) ** 0.5


def _best(fields: Sequence[float]) -> list[int]:
    """The ways that fit best where each change costs CHANGE (Viterbi)."""
    up, down = 0.0, -CHANGE
    came: list[tuple[int, int]] = []
    for field in fields:
        stay_up, stay_down = max(up, down - CHANGE), max(down, up - CHANGE)
        came.append((1 if up >= down - CHANGE else -1, -1 if down >= up - CHANGE else 1))
        up, down = stay_up + field, stay_down - field
    sign = 1 if up >= down else -1
    out = []
    for step in reversed(came):
        out.append(sign)
        sign = step[0 if sign == 1 else 1]
    return out[::-1]


def _groups(near: Sequence[Sequence[tuple[int, float]]]) -> list[list[int]]:
    """Sides that are held together by what they say of each other: about a set each."""
    root = list(range(len(near)))

    def top(at: int) -> int:
        while root[at] != at:
            root[at] = root[root[at]]
            at = root[at]
        return at

    for at, mates in enumerate(near):
        for other, value in mates:
            if abs(value) >= 3.0:
                root[top(at)] = top(other)
    groups: dict[int, list[int]] = {}
    for at in range(len(near)):
        groups.setdefault(top(at), []).append(at)
    return list(groups.values())


def _majority(near: Sequence[Sequence[tuple[int, float]]], signs: Sequence[int]) -> list[int]:
    """The same ways, with each set turned so that most of its sides are upright."""
    out = list(signs)
    for group in _groups(near):
        if sum(signs[at] for at in group) < 0:
            for at in group:
                out[at] = -signs[at]
    return out


def stretches(ways: Sequence[Way], positions: Sequence[int]) -> list[Stretch]:
    """The runs of sides that lie upside down; sides of which nothing is known do not end a run, but no run begins or
    ends with one. `positions` are the cards', from 1, rising."""
    found: list[tuple[int, int]] = []
    run: list[int] = []
    for way, position in zip(ways, positions, strict=True):
        if way is Way.UPSIDE_DOWN:
            run.append(position)
        elif way is Way.UPRIGHT and run:
            found.append((run[0], run[-1]))
            run = []
    if run:
        found.append((run[0], run[-1]))
    down = sum(way is Way.UPSIDE_DOWN for way in ways)
    known = sum(way is not Way.UNKNOWN for way in ways)
    ask = known > 0 and down >= EVEN * known
    return [Stretch(first, last, ask) for first, last in found]
