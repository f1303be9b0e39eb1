"""Findings from how sides lie: runs of fronts or of backs that are upside down, or on their long
side."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING

from tagger.core.audit.findings import Finding, FindingKind
from tagger.core.audit.orientation_runs import OrientedScan, upside_runs
from tagger.core.audit.set_groups import group_sets
from tagger.core.fixes.display import Turn

if TYPE_CHECKING:
    from tagger.core.audit.feed_report import Feeding


def turned_findings(feeding: Feeding) -> list[Finding]:
    """Runs of fronts or of backs that lie upside down, or on their long side."""
    found: list[Finding] = []
    for side in _sides(feeding):
        for group in side.by_set():
            found += [_upside_down(side.name, run.scans, run.ask) for run in upside_runs(group)]
        found += [_sideways(side.name, run) for run in side.lying()]
    return found


@dataclass(frozen=True)
class _Side:
    """All fronts or all backs of a lot that show enough to be compared, in feeding order."""

    name: str
    scans: Sequence[OrientedScan]

    def by_set(self) -> list[list[OrientedScan]]:
        """The same, one list a set."""
        # Which way is up is what most scans of a set and side say, so sets are not mixed.
        groups: dict[int, list[OrientedScan]] = {}
        for scan in self.scans:
            groups.setdefault(scan.group, []).append(scan)
        return list(groups.values())

    def lying(self) -> Iterator[list[OrientedScan]]:
        """Runs of scans that lie on their long side."""
        for sideways, run in groupby(self.scans, key=lambda scan: scan.sideways):
            if sideways:
                yield list(run)


def _sides(feeding: Feeding) -> list[_Side]:
    """The lot's fronts and its backs, those of the two that there are."""
    fronts, backs = _comparable_sides(feeding)
    # Backs of a set look alike, fronts often do not: so backs tell the sets, where there are any.
    sets = _Sets(feeding, backs or fronts)
    return [
        _Side(name, _oriented(feeding, own, sets))
        for name, own in (("fronts", fronts), ("backs", backs))
        if own
    ]


def _comparable_sides(feeding: Feeding) -> tuple[list[int], list[int]]:
    """The fronts and the backs that show enough to be compared, by their places in turn."""
    turns = [at for at, scan in enumerate(feeding.scans) if feeding.comparable(scan)]
    fronts = [at for at in turns if feeding.is_front(at)]
    backs = [at for at in turns if not feeding.is_front(at)]
    return fronts, backs


class _Sets:
    """Which set a scan belongs to, told by scans of one side (their places in turn, rising)."""

    def __init__(self, feeding: Feeding, tellers: Sequence[int]) -> None:
        self._tellers = tellers
        prints = feeding.prints([feeding.scans[at] for at in tellers])
        self._groups = group_sets(feeding.comparing.alike(prints)) if prints else []

    def of(self, at: int) -> int:
        """The set of the first of the tellers at or behind a scan, else of the last."""
        return self._groups[min(bisect_left(self._tellers, at), len(self._tellers) - 1)]


def _oriented(feeding: Feeding, own: Sequence[int], sets: _Sets) -> list[OrientedScan]:
    """The scans at these places in turn, with how they lie."""
    scans = [feeding.scans[at] for at in own]
    groups = [sets.of(at) for at in own]
    ways = feeding.comparing.orient([feeding.known[scan].fields for scan in scans], groups).ways
    return [
        OrientedScan(scan, feeding.position(scan), group, way, feeding.known[scan].sideways)
        for scan, group, way in zip(scans, groups, ways, strict=True)
    ]


def _upside_down(name: str, run: Sequence[OrientedScan], ask: bool) -> Finding:
    subject = _subject(name, run)
    # What most of a set say is taken as upright, and here hardly more say it than not.
    if ask:
        sides, _, verb = subject.rpartition(" ")
        detail = f"{verb} the {sides} upside down? About as many of the set are the other way up"
        remedy = "Check which are upright; where these are not, rotate 180°."
    else:
        detail, remedy = f"{subject} upside down", "Rotate 180°."
    return _turn_finding(FindingKind.UPSIDE_DOWN, run, 180, detail, remedy, ask)


def _sideways(name: str, run: Sequence[OrientedScan]) -> Finding:
    seen = f"{_subject(name, run)} sideways"
    # Always a question: the design may be meant to be landscape, which nothing measured tells.
    remedy = "Rotate 90° clockwise. If the design is meant to be landscape, ignore this."
    return _turn_finding(FindingKind.SIDEWAYS, run, 90, seen, remedy, ask=True)


def _turn_finding(
    kind: FindingKind,
    run: Sequence[OrientedScan],
    degrees: int,
    detail: str,
    remedy: str,
    ask: bool,
) -> Finding:
    scans = tuple(one.scan for one in run)
    fixes = (Turn(scans, degrees),)
    return Finding(kind, scans, run[0].position, detail, remedy, fixes, ask=ask)


def _subject(name: str, run: Sequence[OrientedScan]) -> str:
    """`backs of cards 3 to 5 are`, `back of card 3 is`."""
    first, last = run[0].position, run[-1].position
    if first == last:
        return f"{name[:-1]} of card {first} is"
    return f"{name} of cards {first} to {last} are"
