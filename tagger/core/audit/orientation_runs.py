"""Which way up sides lie, and the stretches of a lot that would be turned as one.
`imaging.orientation` tells it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

LEAST = 3.0  # what must speak for a side's way up before it is given, as a logarithm of odds
EVEN = 0.4  # a set of which at least this share lies the other way is to be asked about


class Orientation(StrEnum):
    """How a side lies."""

    UPRIGHT = "upright"
    UPSIDE_DOWN = "upside down"
    UNKNOWN = "unknown"


@dataclass(frozen=True)
class Orientations:
    """How each side lies, and how sure that is: what its mates say for it, as a logarithm of
    odds."""

    ways: tuple[Orientation, ...]
    sure: tuple[float, ...]


@dataclass(frozen=True)
class OrientationRun:
    """Sides `first` to `last` (positions in the lot, from 1) lie upside down; `ask` where nearly as
    many of the set lie the other way, so that either could be upright."""

    first: int
    last: int
    ask: bool


def stretches(ways: Sequence[Orientation], positions: Sequence[int]) -> list[OrientationRun]:
    """The runs of sides that lie upside down; sides of which nothing is known do not end a run, but
    no run begins or ends with one. `positions` are the cards', from 1, rising."""
    found: list[tuple[int, int]] = []
    run: list[int] = []
    for way, position in zip(ways, positions, strict=True):
        if way is Orientation.UPSIDE_DOWN:
            run.append(position)
        elif way is Orientation.UPRIGHT and run:
            found.append((run[0], run[-1]))
            run = []
    if run:
        found.append((run[0], run[-1]))
    down = sum(way is Orientation.UPSIDE_DOWN for way in ways)
    known = sum(way is not Orientation.UNKNOWN for way in ways)
    ask = known > 0 and down >= EVEN * known
    return [OrientationRun(first, last, ask) for first, last in found]
