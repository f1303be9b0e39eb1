"""What can be put right in a lot without touching a scan. Each fix is a value that makes another
arrangement of one (the command pattern, over frozen values).

Tags stay with their cards, whatever moves: a mark goes with the card's front scan, else with its
back."""

from __future__ import annotations

from collections.abc import Container, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Protocol, runtime_checkable

from tagger.core.feeding.pairing import identified, moved_marks
from tagger.core.model.arrangement import Arrangement, Fixes, Pair

if TYPE_CHECKING:
    from tagger.core.feeding.order import Sides
    from tagger.core.model.scan_ref import ScanStamp
    from tagger.core.model.tags import Mark, Marking


class Fix(Protocol):
    """One thing to put right."""

    def cards(self, arrangement: Arrangement) -> list[Sides]:
        """The cards of the lot afterwards. Raises Refused where it cannot be done."""

    def fixes(self, arrangement: Arrangement) -> Fixes:
        """The lot's fixes afterwards: what is kept so that it is remembered."""

    def label(self, arrangement: Arrangement) -> str:
        """It in a few words, for the history."""


@runtime_checkable
class BringsCards(Fix, Protocol):
    """A fix whose new cards come with tags of their own."""

    @property
    def stamps(self) -> Mapping[str, ScanStamp]:
        """What the scans of the new cards were when those were tagged."""

    def markings(self, fresh: Sequence[Pair]) -> tuple[Marking, ...]:
        """What the new cards are marked with, now that they are these."""


def apply_fix(
    arrangement: Arrangement, marks: Mapping[int, Mark], fix: Fix, next_id: int
) -> tuple[Arrangement, tuple[Marking, ...]]:
    """The arrangement with something put right, and the marks that moved with their scans.

    Raises Refused where it cannot be done, or a tagged card would lose its scans or become one with
    another."""
    cards, fixes = fix.cards(arrangement), fix.fixes(arrangement)
    # Cards keep their identity by their scans, and with it all that is known of them elsewhere.
    pairs, _ = identified(arrangement.pairs, cards, next_id)
    moved = moved_marks(arrangement.pairs, pairs, marks)
    # A joined folder's cards come with tags of their own, under identities that are new here.
    if isinstance(fix, BringsCards):
        moved += fix.markings(pairs[len(arrangement.pairs) :])
    kept = _with_beginnings(fixes, arrangement, pairs)
    return Arrangement(arrangement.sides, pairs, kept), moved


def _with_beginnings(fixes: Fixes, before: Arrangement, after: Sequence[Pair]) -> Fixes:
    """The fixes, where a segment whose first scan was left out begins with the scan that came
    next."""
    have = {scan for pair in after for scan in pair.scans}
    begins = ((_first_left(before.scans, scan, have), sides) for scan, sides in fixes.stretches)
    return replace(fixes, stretches=tuple((scan, sides) for scan, sides in begins if scan))


def _first_left(scans: Sequence[str], first: str, have: Container[str]) -> str:
    """The first of the scans from `first` on that is still there, empty where none is."""
    if first in have:
        return first
    # A segment may begin at a scan that is on no card any more, of an earlier fix.
    if first not in scans:
        return ""
    behind = scans[scans.index(first) + 1 :]
    return next((scan for scan in behind if scan in have), "")
