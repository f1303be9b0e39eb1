"""Findings from how sides look beside each other: slips of the feeding and swapped pairs."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from tagger.core.audit.findings import Finding, FindingKind
from tagger.core.audit.fingerprint import Fingerprint
from tagger.core.audit.orientation_runs import Orientations
from tagger.core.audit.side_labelling import SideLabels, label_sides
from tagger.core.audit.slips import Slip, SlipKind, find_slips
from tagger.core.feeding.numbering import name_beside
from tagger.core.feeding.sequence import ALTERNATING
from tagger.core.fixes.feeding import InsertGap, SkipScan, SwapSides
from tagger.core.model.side_order import SideOrder
from tagger.core.model.text import named

if TYPE_CHECKING:
    from tagger.core.audit.measured import Measured
    from tagger.core.feeding.scan_sides import ScanSide

FEWEST = 12  # scans below which nothing can be told from how they look
NO_PRINT = Fingerprint(0, 0, bytes(48))

Likeness = Callable[[Sequence[Fingerprint]], list[list[float]]]
Orienting = Callable[[Sequence[bytes], Sequence[int]], Orientations]


@dataclass(frozen=True)
class Feeding:
    """The scans in the order in which front and back should come in turn, what was measured on
    them, and what compares them (`imaging.survey.perceptual_hash.alike_band`,
    `imaging.survey.orientation.find_orientations`): handed in, so that core loads no pixels."""

    scans: Sequence[str]
    order: SideOrder
    places: Mapping[str, ScanSide]
    known: Mapping[str, Measured]
    alike: Likeness
    orient: Orienting

    @property
    def front_first(self) -> bool:
        """Whether a card's front comes before its back."""
        return self.order is not SideOrder.BACK_FIRST

    def comparable(self, scan: str) -> bool:
        """Whether a scan shows enough to be compared."""
        known = self.known[scan]
        # Blank sides are all alike, whichever side of whichever set they are.
        return known.print is not None and not known.has("blank", "no card", "corrupt")

    def position(self, scan: str) -> int:
        """The card (from 1) of a scan."""
        return self.places[scan].position

    def prints(self, scans: Sequence[str]) -> list[Fingerprint]:
        """What the scans look like, an empty print for those that could not be decoded."""
        return [self.known[scan].print or NO_PRINT for scan in scans]

    @cached_property
    def band(self) -> list[list[float]]:
        """Likenesses as `alike_band` gives them, 0 where a scan says nothing."""
        comparable = [self.comparable(scan) for scan in self.scans]
        return [
            [
                value * (comparable[at] and comparable[at + step])
                for step, value in enumerate(row, start=1)
            ]
            for at, row in enumerate(self.alike(self.prints(self.scans)))
        ]

    @cached_property
    def labels(self) -> SideLabels:
        """The side that each scan shows."""
        if self.order is SideOrder.FRONT_ONLY or len(self.scans) < FEWEST:
            as_arranged = tuple(self.places[scan].side == "front" for scan in self.scans)
            return SideLabels(as_arranged, (0.0,) * len(self.scans))
        return label_sides(self.band, self.front_first)

    def may_be_same(self, one: int, other: int) -> bool:
        """Whether two scans, by their places in turn, could show the same printing."""
        here, there = (self.known[self.scans[at]].print for at in (one, other))
        return here is not None and there is not None and here.may_show_the_same(there)


def feeding_findings(feeding: Feeding) -> list[Finding]:
    """Missing sides, scans too many, swapped pairs; a question where a new set could look the
    same."""
    if feeding.order is SideOrder.FRONT_ONLY or len(feeding.scans) < FEWEST:
        return []
    slips = find_slips(feeding.labels, feeding.may_be_same, feeding.band, feeding.front_first)
    last = len(feeding.scans) - 1
    # Of a last scan that stands alone the other side may still be on its way through the feeder.
    return [
        _slip_finding(feeding, slip)
        for slip in slips
        if slip.scan != last or slip.kind is SlipKind.EXTRA_SCAN
    ]


def _slip_finding(feeding: Feeding, slip: Slip) -> Finding:
    if slip.kind is SlipKind.SWAPPED:
        return _swapped(feeding, slip)
    # Only in turn does one scan too many move the others: read otherwise, a pair is just wrong.
    if feeding.order not in ALTERNATING:
        return _not_together(feeding, slip)
    if slip.kind is SlipKind.EXTRA_SCAN:
        return _extra_scan(feeding, slip)
    return _missing_side(feeding, slip)


def _question(slip: Slip) -> str:
    return "; check whether a new set begins here instead" * slip.ask


def _swapped(feeding: Feeding, slip: Slip) -> Finding:
    one, other = feeding.scans[slip.scan : slip.scan + 2]
    position = feeding.position(one)
    return Finding(
        FindingKind.SWAPPED,
        (one, other),
        position,
        f"front and back of card {position} are swapped{_question(slip)}",
        "Swap front and back.",
        (SwapSides(one, other),),
        ask=slip.ask,
    )


def _not_together(feeding: Feeding, slip: Slip) -> Finding:
    first = slip.scan - slip.scan % 2  # of the card that the scan is on
    position = feeding.position(feeding.scans[slip.scan])
    return Finding(
        FindingKind.NOT_TOGETHER,
        tuple(feeding.scans[first : first + 2]),
        position,
        f"front and back of card {position} are not of the same card{_question(slip)}",
        "Check both sides. F8 changes the side order; 'drop', 'missing' or 'swap' fixes a single "
        "card.",
        ask=slip.ask,
    )


def _extra_scan(feeding: Feeding, slip: Slip) -> Finding:
    # The one before it is shown with it, which it may be a second time.
    scan = feeding.scans[slip.scan]
    question = "; check whether it shows the same side twice or a duplicate card" * slip.ask
    return Finding(
        FindingKind.SLIPPED,
        tuple(feeding.scans[max(0, slip.scan - 1) : slip.scan + 1]),
        feeding.position(scan),
        f"{named(scan)} seems to be one scan too many, so every pair after it is off by one"
        f"{question}",
        f"Skip {named(scan)} if it shows that side a second time; later scans move up.",
        (SkipScan(scan),),
        ask=slip.ask,
    )


def _missing_side(feeding: Feeding, slip: Slip) -> Finding:
    scan = feeding.scans[slip.scan]
    position = feeding.position(scan)
    missing = "back" if slip.kind is SlipKind.MISSING_BACK else "front"
    where = name_beside(feeding.scans, scan, (missing == "back") == feeding.front_first)
    return Finding(
        FindingKind.SLIPPED,
        (scan,),
        position,
        f"{named(scan)} has no {missing}, so every pair from card {position} on is off by one"
        f"{_question(slip)}",
        f"Insert an empty {missing} here; later scans shift by one. Rescan it {where} and it is "
        "added by itself.",
        (InsertGap(scan, missing),),
        ask=slip.ask,
    )
