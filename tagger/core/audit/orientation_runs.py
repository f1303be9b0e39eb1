"""Which way up cards lie, and the runs of a lot's cards that would be turned as one.
`imaging.survey.orientation` finds it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import NamedTuple

EVEN = 0.4  # a set of which at least this share lies the other way is to be asked about
# What a run must reach before it is turned unasked: of held-out scans none above it was wrong.
SURE = 0.995
# A card that says so little is turned with the others of its run, and is no reason for doubt.
SILENT = 0.8


class CardWay(NamedTuple):
    """Whether a card's front and its back are upside down, and how likely that is, 0 to 1."""

    front_down: bool
    back_down: bool
    share: float

    @property
    def upright(self) -> bool:
        """Whether both sides are."""
        return not (self.front_down or self.back_down)


@dataclass(frozen=True, slots=True)
class OrientationRun:
    """Cards one after the other that lie upside down in the same way: from index `first` up to and
    without `past` (from 0). `ask`: nearly as many of the set lie the other way, so that either
    could be upright, or it is not certain."""

    first: int
    past: int
    front: bool
    back: bool
    even: bool
    ask: bool


def upside_runs(ways: Sequence[CardWay], sets: Sequence[int]) -> list[OrientationRun]:
    """The runs of cards that lie upside down, among those of a lot in feeding order. `sets` says
    which set each belongs to, by any number."""
    found: list[OrientationRun] = []
    at = 0
    # A run ends with its set: in the next one the other way may be the usual one.
    for (front, back, name), cards in groupby(
        zip(ways, sets, strict=True), key=lambda one: (one[0].front_down, one[0].back_down, one[1])
    ):
        run = [way for way, _ in cards]
        if front or back:
            even = _evenly_split([way for way, of in zip(ways, sets, strict=True) if of == name])
            sure = min((way.share for way in run if way.share >= SILENT), default=0.0)
            ask = even or sure < SURE
            found.append(OrientationRun(at, at + len(run), front, back, even, ask))
        at += len(run)
    return found


def _evenly_split(ways: Sequence[CardWay]) -> bool:
    """Whether about as many of a set's sides lie one way as the other."""
    most = max(sum(way.front_down for way in ways), sum(way.back_down for way in ways))
    return most >= EVEN * len(ways)
