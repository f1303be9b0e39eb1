"""What the audit knows of a lot's feeding: which side each scan shows, and where something
slipped."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from math import exp
from typing import TYPE_CHECKING

from tagger.core.audit.feed_traces import traces
from tagger.core.audit.fingerprint import Fingerprint
from tagger.core.audit.orientation_runs import CardWay
from tagger.core.audit.slips import Doubt, FeedReading, Reading, Traces, likelier_first
from tagger.core.model.side_order import SideOrder

if TYPE_CHECKING:
    from tagger.core.audit.measured import Measured
    from tagger.core.feeding.scan_sides import ScanSide

FEWEST = 12  # scans below which nothing can be told from how they look
COUNTED = 4.0  # nats that the dealer's own count of the cards says
NO_PRINT = Fingerprint(0, 0, bytes(48))

Likeness = Callable[[Sequence[Fingerprint]], list[list[float]]]
Orienting = Callable[[Sequence[tuple[bytes, bytes]]], list[CardWay]]
Reader = Callable[[Sequence[bytes], Callable[[int, int], bool], Traces], FeedReading]


@dataclass(frozen=True)
class Comparing:
    """What compares scans (`imaging.survey.perceptual_hash.alike_band`,
    `imaging.survey.orientation.find_orientations`, `imaging.survey.feed_reading.read_feed`): handed
    in, so that core loads no pixels."""

    alike: Likeness
    orient: Orienting
    read: Reader


@dataclass(frozen=True)
class Feeding:
    """The scans in the order in which front and back should come in turn, what was measured on them
    and what compares them. `times` are those of their files in ns, as far as they are known;
    `expected` is how many cards were fed, where somebody counted; `half_cards`: how many have one
    side, and are not among the scans; `begins` are the scans behind a divider."""

    scans: Sequence[str]
    order: SideOrder
    places: Mapping[str, ScanSide]
    known: Mapping[str, Measured]
    comparing: Comparing
    times: Mapping[str, int] = field(default_factory=dict)
    expected: int | None = None
    half_cards: int = 0
    begins: frozenset[str] = frozenset()

    @property
    def front_first(self) -> bool:
        """Whether a card's front comes before its back."""
        return self.order is not SideOrder.BACK_FIRST

    def comparable(self, scan: str) -> bool:
        """Whether a scan shows enough to be compared with others of its set."""
        known = self.known[scan]
        # Blank sides are all alike, whichever side of whichever set they are.
        return known.print is not None and not known.has("blank", "no card")

    def position(self, scan: str) -> int:
        """The card (from 1) of a scan."""
        return self.places[scan].position

    def prints(self, scans: Sequence[str]) -> list[Fingerprint]:
        """What the scans look like, an empty print for those that could not be decoded."""
        return [self.known[scan].print or NO_PRINT for scan in scans]

    @cached_property
    def reading(self) -> FeedReading:
        """How the lot was fed."""
        if self.order is SideOrder.FRONT_ONLY or len(self.scans) < FEWEST:
            return self._as_arranged()
        looks = [self._look(scan) for scan in self.scans]
        read = self.comparing.read(
            looks, self.may_be_same, traces(self.scans, self.times, self.begins)
        )
        return FeedReading(read.firsts, read.cards, self._counted(read.doubts))

    @cached_property
    def cards(self) -> list[tuple[int | None, int | None]]:
        """Front and back of each card, by their places in turn, as the lot was fed."""
        out, at = [], 0
        for count in self.reading.cards:
            places = range(at, at + count)
            front = next((place for place in places if self.is_front(place)), None)
            back = next((place for place in places if not self.is_front(place)), None)
            out.append((front, back))
            at += count
        return out

    def _as_arranged(self) -> FeedReading:
        """The sides and the cards as they are arranged."""
        first = "front" if self.front_first else "back"
        firsts = tuple(self.places[scan].side == first for scan in self.scans)
        cards = Counter(self.position(scan) for scan in self.scans)
        return FeedReading(firsts, tuple(cards.values()), ())

    def is_front(self, at: int) -> bool:
        """Whether a scan, by its place in turn, shows a front."""
        return self.reading.firsts[at] is self.front_first

    def may_be_same(self, one: int, other: int) -> bool:
        """Whether two scans, by their places in turn, could show the same printing."""
        scans = self.scans[one], self.scans[other]
        here, there = (self.known[scan].print for scan in scans)
        # Blank sides look the same and show nothing.
        if here is None or there is None or not all(map(self.comparable, scans)):
            return False
        return here.may_show_the_same(there)

    def _look(self, scan: str) -> bytes:
        """What tells its side; a blank side tells it too, where others of the set are blank."""
        known = self.known[scan]
        return b"" if known.has("no card") else known.fields

    def _counted(self, doubts: Sequence[Doubt]) -> tuple[Doubt, ...]:
        """The doubts, with the readings likelier that give as many cards as were counted."""
        if self.expected is None:
            return tuple(doubts)
        best = [doubt.readings[0].change for doubt in doubts]
        wanted = 2 * (self.expected - self.half_cards) - len(self.scans)
        return tuple(
            _reweighed(doubt, wanted - sum(best) + change)
            for doubt, change in zip(doubts, best, strict=True)
        )


def _reweighed(doubt: Doubt, change: int) -> Doubt:
    """A doubt whose readings are likelier where they make so many sides more."""
    weights = [one.share * exp(COUNTED * (one.change == change)) for one in doubt.readings]
    nothing = doubt.nothing * exp(COUNTED * (change == 0))
    whole = sum(weights) + nothing
    readings = [
        Reading(one.slips, weight / whole)
        for one, weight in zip(doubt.readings, weights, strict=True)
    ]
    readings.sort(key=likelier_first)
    return Doubt(tuple(readings), nothing / whole)
