"""What the feeder did with a lot, as far as its scans tell: how the sides are read, and where that
is in doubt. `imaging.survey.feed_reading` reads it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class SlipKind(StrEnum):
    """What went wrong in the feeding. The first side is the one that is fed first."""

    FIRST_MISSING = "first side missing"
    SECOND_MISSING = "second side missing"
    EXTRA_SCAN = "extra scan"
    SWAPPED = "swapped"


@dataclass(frozen=True, slots=True)
class Slip:
    """A slip at a scan (counted from 0): the scan that stands alone, the one too many, or the first
    of a swapped pair."""

    kind: SlipKind
    scan: int


@dataclass(frozen=True, slots=True)
class Reading:
    """One way to read a stretch of the lot: its slips in feeding order, and how likely it is, 0
    to 1."""

    slips: tuple[Slip, ...]
    share: float

    @property
    def change(self) -> int:
        """How many cards more than pairs of scans there are then, in halves of a card."""
        return sum(_HALVES[slip.kind] for slip in self.slips)


_HALVES = {
    SlipKind.FIRST_MISSING: 1,
    SlipKind.SECOND_MISSING: 1,
    SlipKind.EXTRA_SCAN: -1,
    SlipKind.SWAPPED: 0,
}


def likelier_first(reading: Reading) -> tuple[float, int, float]:
    """By what readings are sorted: how likely they are, and of those that are even to a hundredth
    the one first that leaves the lot as many sides as it has."""
    return -round(reading.share, 2), abs(reading.change), -reading.share


@dataclass(frozen=True, slots=True)
class Doubt:
    """A stretch of the lot where something slipped, or may have: its readings, the likeliest first,
    and how likely it is that nothing did."""

    readings: tuple[Reading, ...]
    nothing: float


@dataclass(frozen=True, slots=True)
class FeedReading:
    """The side that each scan shows, True for the one that is fed first; how many scans each card
    has; and where the feeding slipped, in feeding order."""

    firsts: tuple[bool, ...]
    cards: tuple[int, ...]
    doubts: tuple[Doubt, ...]


@dataclass(frozen=True, slots=True)
class Traces:
    """What else than looks tells of the feeding, in nats, one number a scan.

    `lost`: what speaks for a scan that is missing right before this one, by the file numbers.
    `together`: what speaks for this scan and the one before it being of one card, by the times of
    the files."""

    lost: tuple[float, ...] = ()
    together: tuple[float, ...] = ()
