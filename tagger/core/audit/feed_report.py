"""Findings from how sides look beside each other: slips of the feeding, swapped pairs, sides the
wrong way up."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from tagger.core.audit.findings import Finding, FindingKind
from tagger.core.audit.fingerprint import Fingerprint
from tagger.core.audit.measured import Measured
from tagger.core.audit.orientation_runs import Orientations, stretches
from tagger.core.audit.set_groups import group_sets
from tagger.core.audit.side_labelling import SideLabels, tell_sides
from tagger.core.audit.slips import Slip, SlipKind, find_slips
from tagger.core.feeding.numbering import name_beside
from tagger.core.feeding.sequence import ALTERNATING
from tagger.core.fixes.display import Turn
from tagger.core.fixes.feeding import InsertGap, SkipScan, SwapSides
from tagger.core.model.arrangement import SideOrder
from tagger.core.model.text import named

FEWEST = 12  # scans below which nothing can be told from how they look
_NONE = Fingerprint(0, 0, bytes(48))

Likeness = Callable[[Sequence[Fingerprint]], list[list[float]]]
Telling = Callable[[Sequence[bytes], Sequence[int]], Orientations]


@dataclass(frozen=True)
class Feeding:
    """The scans in the order in which front and back should come in turn, what was measured on
    them, and what compares them (`imaging.sameness.alike_band`,
    `imaging.orientation.tell_ways`)."""

    scans: Sequence[str]
    order: SideOrder
    places: Mapping[str, tuple[int, str]]
    known: Mapping[str, Measured]
    alike: Likeness
    tell: Telling

    @property
    def front_first(self) -> bool:
        """Whether a card's front comes before its back."""
        return self.order is not SideOrder.BACK_FIRST

    def told(self, at: int) -> bool:
        """Whether a scan shows enough to be compared."""
        one = self.known[self.scans[at]]
        return one.print is not None and not one.has("blank", "no card", "corrupt")

    @cached_property
    def band(self) -> list[list[float]]:
        """Likenesses as `alike_band` gives them, 0 where a scan says nothing."""
        band = self.alike([self.known[scan].print or _NONE for scan in self.scans])
        told = [self.told(at) for at in range(len(self.scans))]
        return [
            [
                value if told[at] and told[at + step] else 0.0
                for step, value in enumerate(row, start=1)
            ]
            for at, row in enumerate(band)
        ]

    @cached_property
    def sided(self) -> SideLabels:
        """The side that each scan shows."""
        if self.order is SideOrder.FRONT_ONLY or len(self.scans) < FEWEST:
            return SideLabels(
                tuple(self.places[scan][1] == "front" for scan in self.scans),
                (0.0,) * len(self.scans),
            )
        return tell_sides(self.band, self.front_first)

    def same(self, one: int, other: int) -> bool:
        """Whether two scans could show the same printing."""
        here, there = (self.known[self.scans[at]].print for at in (one, other))
        return here is not None and there is not None and here.may_show_the_same(there)


def feeding_findings(feeding: Feeding) -> list[Finding]:
    """Missing sides, scans too many, swapped pairs; a question where a new set could look the
    same."""
    if feeding.order is SideOrder.FRONT_ONLY or len(feeding.scans) < FEWEST:
        return []
    slips = find_slips(feeding.sided, feeding.same, feeding.band, feeding.front_first)
    last = len(feeding.scans) - 1
    return [
        _worded(feeding, slip)
        for slip in slips
        if not (slip.scan == last and slip.kind is not SlipKind.EXTRA_SCAN)
    ]


def _worded(feeding: Feeding, slip: Slip) -> Finding:
    scans, at = feeding.scans, slip.scan
    scan = scans[at]
    position = feeding.places[scan][0]
    ask = "; look whether it is so, or whether a new set begins here" if slip.ask else ""
    if slip.kind is SlipKind.SWAPPED:
        both = tuple(scans[at : at + 2])
        detail = f"front and back of card {position} are the wrong way round{ask}"
        remedy = "Let the two change places."
        return Finding(
            FindingKind.SWAPPED, both, position, detail, remedy, (SwapSides(*both),), ask=slip.ask
        )
    if feeding.order not in ALTERNATING:
        partner = at ^ 1 if at ^ 1 < len(scans) else at
        both = tuple(scans[i] for i in sorted({at, partner}))
        detail = f"the two sides of card {position} do not belong together{ask}"
        remedy = (
            "Look at both; F8 changes the side order, and 'drop', 'missing' or 'swap' mend a "
            "single card."
        )
        return Finding(FindingKind.NOT_TOGETHER, both, position, detail, remedy, ask=slip.ask)
    if slip.kind is SlipKind.EXTRA_SCAN:
        detail = f"{named(scan)} seems to be one scan too many, so every pair after it is shifted"
        detail += (
            "; look whether it shows the same side twice, or the next card's first side is a double"
            * slip.ask
        )
        remedy = (
            f"Leave {named(scan)} out if it shows that side a second time; the scans after "
            "it move up."
        )
        both = tuple(scans[max(0, at - 1) : at + 1])
        return Finding(
            FindingKind.SLIPPED, both, position, detail, remedy, (SkipScan(scan),), ask=slip.ask
        )
    missing = "back" if slip.kind is SlipKind.MISSING_BACK else "front"
    detail = (
        f"from card {position} on the order slipped: the {missing} that belongs to "
        f"{named(scan)} is missing{ask}"
    )
    where = name_beside(scans, scan, (missing == "back") == feeding.front_first)
    remedy = (
        f"Leave a place for the {missing}; the scans from there move on. Scan it {where}: it "
        "joins its card."
    )
    return Finding(
        FindingKind.SLIPPED,
        (scan,),
        position,
        detail,
        remedy,
        (InsertGap(scan, missing),),
        ask=slip.ask,
    )


def turned_findings(feeding: Feeding) -> list[Finding]:
    """Stretches of fronts or of backs that lie upside down, or on their long side."""
    found: list[Finding] = []
    fronts = feeding.sided.fronts
    backs = [at for at, front in enumerate(fronts) if not front and feeding.told(at)]
    first = [at for at, front in enumerate(fronts) if front and feeding.told(at)]
    groups = _groups(feeding, backs or first)
    for name, members in (("fronts", first), ("backs", backs)):
        if not members:
            continue
        sets = [_nearest(at, backs or first, groups) for at in members]
        ways = feeding.tell([feeding.known[feeding.scans[at]].fields for at in members], sets).ways
        for group in dict.fromkeys(sets):
            own = [k for k, other in enumerate(sets) if other == group]
            for stretch in stretches([ways[k] for k in own], [members[k] + 1 for k in own]):
                run = [members[k] for k in own if stretch.first <= members[k] + 1 <= stretch.last]
                found.append(_turned(feeding, FindingKind.UPSIDE_DOWN, name, run, stretch.ask))
        lying = [at for at in members if feeding.known[feeding.scans[at]].sideways]
        for run in _neighbours(lying, members):
            found.append(_turned(feeding, FindingKind.SIDEWAYS, name, run, False))
    return found


def _groups(feeding: Feeding, members: Sequence[int]) -> list[int]:
    """The set of each of these scans, told among themselves."""
    looks = [feeding.known[feeding.scans[at]].print or _NONE for at in members]
    return group_sets(feeding.alike(looks)) if looks else []


def _nearest(at: int, members: Sequence[int], groups: Sequence[int]) -> int:
    """The set of the first of the members at or behind a scan, else of the last."""
    return groups[min(bisect_left(members, at), len(members) - 1)]


def _neighbours(some: Sequence[int], members: Sequence[int]) -> list[list[int]]:
    """Runs of scans that follow each other among the members."""
    index = {at: k for k, at in enumerate(members)}
    runs: list[list[int]] = []
    for at in some:
        if runs and index[at] - index[runs[-1][-1]] == 1:
            runs[-1].append(at)
        else:
            runs.append([at])
    return runs


def _turned(
    feeding: Feeding, kind: FindingKind, name: str, run: Sequence[int], ask: bool
) -> Finding:
    scans = tuple(feeding.scans[at] for at in run)
    first, last = feeding.places[scans[0]][0], feeding.places[scans[-1]][0]
    what = (
        f"{name} of cards {first} to {last} are"
        if first != last
        else f"{name[:-1]} of card {first} is"
    )
    if kind is FindingKind.SIDEWAYS:
        remedy = "Turn them to the right by 90 degrees. Nothing is wrong with a design that lies."
        return Finding(
            kind,
            scans,
            first,
            f"{what} lying on the long side",
            remedy,
            (Turn(scans, 90),),
            ask=True,
        )
    what += (
        " upside down" + "; as many of the set lie the other way, so look which is upright" * ask
    )
    remedy = "Turn them." if first != last else "Turn it."
    return Finding(kind, scans, first, what, remedy, (Turn(scans, 180),), ask=ask)
