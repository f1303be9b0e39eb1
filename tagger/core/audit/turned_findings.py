"""Findings from how sides lie: runs of cards that are upside down, or of sides on their long
side."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING

from tagger.core.audit.findings import Finding, FindingKind
from tagger.core.audit.orientation_runs import OrientationRun, upside_runs
from tagger.core.audit.set_groups import group_sets
from tagger.core.fixes.display import Turn

if TYPE_CHECKING:
    from tagger.core.audit.feed_report import Feeding

SIDES = ("fronts", "backs")


def turned_findings(feeding: Feeding) -> list[Finding]:
    """Runs of cards that lie upside down, and of fronts or backs that lie on their long side."""
    cards = feeding.cards
    ways = feeding.comparing.orient(
        [(_look(feeding, front), _look(feeding, back)) for front, back in cards]
    )
    runs = upside_runs(ways, _sets(feeding)) if ways else []
    found = [_upside_down(_Turned.of(feeding, run), run) for run in runs]
    for name, own in zip(SIDES, _comparable_sides(feeding), strict=True):
        found += [_sideways(_Turned(name, run, feeding)) for run in _lying(feeding, own)]
    return found


@dataclass(frozen=True)
class _Turned:
    """Scans that would be turned as one: the name of their sides, and their places in turn."""

    name: str
    places: Sequence[int]
    feeding: Feeding

    @staticmethod
    def of(feeding: Feeding, run: OrientationRun) -> _Turned:
        """The scans of a run of cards. Those that say nothing, of a damaged file say, are among
        them: they went through the feeder with the others."""
        cards = feeding.cards[run.first : run.past]
        places = [
            place
            for card in cards
            for place, down in zip(card, (run.front, run.back), strict=True)
            if down and place is not None
        ]
        both = "both sides"
        name = both if run.front and run.back else SIDES[0] if run.front else SIDES[1]
        return _Turned(name, sorted(places), feeding)

    @property
    def scans(self) -> tuple[str, ...]:
        """Their names."""
        return tuple(self.feeding.scans[place] for place in self.places)

    @property
    def positions(self) -> tuple[int, int]:
        """The first card and the last one."""
        cards = [self.feeding.position(scan) for scan in self.scans]
        return min(cards), max(cards)

    @property
    def subject(self) -> str:
        """`backs of cards 3 to 5`, `back of card 3`, `both sides of card 3`."""
        first, last = self.positions
        if first != last:
            return f"{self.name} of cards {first} to {last}"
        name = self.name if len(self.places) > 1 else self.name.removesuffix("s")
        return f"{name} of card {first}"

    @property
    def verb(self) -> str:
        """`is` or `are`."""
        return "is" if len(self.places) == 1 else "are"

    def finding(
        self, kind: FindingKind, degrees: int, detail: str, remedy: str, ask: bool
    ) -> Finding:
        """What is told of them."""
        fixes = (Turn(self.scans, degrees),)
        return Finding(kind, self.scans, self.positions[0], detail, remedy, fixes, ask=ask)


def _look(feeding: Feeding, place: int | None) -> bytes:
    """What a side is compared by; empty for one that says nothing."""
    if place is None:
        return b""
    scan = feeding.scans[place]
    return feeding.known[scan].fields if feeding.comparable(scan) else b""


def _comparable_sides(feeding: Feeding) -> tuple[list[int], list[int]]:
    """The fronts and the backs that show enough to be compared, by their places in turn."""
    turns = [at for at, scan in enumerate(feeding.scans) if feeding.comparable(scan)]
    fronts = [at for at in turns if feeding.is_front(at)]
    backs = [at for at in turns if not feeding.is_front(at)]
    return fronts, backs


def _sets(feeding: Feeding) -> list[int]:
    """Which set each card belongs to, by any number."""
    fronts, backs = _comparable_sides(feeding)
    # Backs of a set look alike, fronts often do not: so backs tell the sets, where there are any.
    tellers = backs or fronts
    if not tellers:
        return [0] * len(feeding.cards)
    prints = feeding.prints([feeding.scans[at] for at in tellers])
    groups = group_sets(feeding.comparing.alike(prints))
    firsts = [min(place for place in card if place is not None) for card in feeding.cards]
    # The set of the first of the tellers at or behind a card, else of the last.
    return [groups[min(bisect_left(tellers, at), len(tellers) - 1)] for at in firsts]


def _lying(feeding: Feeding, own: Sequence[int]) -> Iterator[list[int]]:
    """Runs of scans that lie on their long side."""
    for sideways, run in groupby(own, key=lambda at: feeding.known[feeding.scans[at]].sideways):
        if sideways:
            yield list(run)


def _upside_down(turned: _Turned, run: OrientationRun) -> Finding:
    detail, remedy = f"{turned.subject} {turned.verb} upside down", "Rotate 180°."
    # What most of a set say is taken as upright, and here hardly more say it than not.
    if run.even:
        detail = (
            f"{turned.verb} the {turned.subject} upside down? About as many of the set are the "
            "other way up"
        )
    elif run.ask:
        detail = f"{turned.verb} the {turned.subject} upside down? The other cards make it likely"
    if run.ask:
        remedy = "Check which are upright; where these are not, rotate 180°."
    return turned.finding(FindingKind.UPSIDE_DOWN, 180, detail, remedy, run.ask)


def _sideways(turned: _Turned) -> Finding:
    seen = f"{turned.subject} {turned.verb} sideways"
    # Always a question: the design may be meant to be landscape, which nothing measured tells.
    remedy = "Rotate 90° clockwise. If the design is meant to be landscape, ignore this."
    return turned.finding(FindingKind.SIDEWAYS, 90, seen, remedy, ask=True)
