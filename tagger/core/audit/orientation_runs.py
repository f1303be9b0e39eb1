"""Which way up sides lie, and the runs of a lot's sides that would be turned as one.
`imaging.survey.orientation` finds it."""

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


@dataclass(frozen=True, slots=True)
class OrientedScan:
    """A scan, the position of its card (from 1), the set that it belongs to as far as backs tell it
    (any number), how it lies, and whether it lay on its long side."""

    scan: str
    position: int
    group: int
    orientation: Orientation
    sideways: bool = False


@dataclass(frozen=True)
class OrientationRun:
    """Sides of one set that lie upside down one after the other; `ask` where nearly as many of the
    set lie the other way, so that either could be upright."""

    scans: tuple[OrientedScan, ...]
    ask: bool


def upside_runs(group: Sequence[OrientedScan]) -> list[OrientationRun]:
    """The runs of sides that lie upside down, among those of one set in feeding order."""
    found: list[list[OrientedScan]] = []
    run: list[OrientedScan] = []
    unknown: list[OrientedScan] = []
    for scan in group:
        match scan.orientation:
            case Orientation.UPSIDE_DOWN:
                run += [*unknown, scan]
                unknown = []
            case Orientation.UPRIGHT:
                found.append(run)
                run, unknown = [], []
            case Orientation.UNKNOWN if run:
                # It does not end a run, but no run begins or ends with one: it waits for the next.
                unknown.append(scan)
    found.append(run)
    ask = _evenly_split(group)
    return [OrientationRun(tuple(run), ask) for run in found if run]


def _evenly_split(group: Sequence[OrientedScan]) -> bool:
    """Whether about as many of a set's sides lie one way as the other."""
    ways = [scan.orientation for scan in group]
    down = ways.count(Orientation.UPSIDE_DOWN)
    known = len(ways) - ways.count(Orientation.UNKNOWN)
    return known > 0 and down >= EVEN * known
