"""What can be put right in a lot without touching a scan. Each way is a value that makes another
arrangement of one.

Tags stay with their cards, whatever moves: a mark goes with the card's front scan, else with its
back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Protocol

from tagger.core.feeding.order import Sides
from tagger.core.feeding.pairing import identified, moved_marks
from tagger.core.fixes.scans import Join
from tagger.core.model.arrangement import Arrangement, Fixes, Pair
from tagger.core.model.tags import Mark, Marking


class Fix(Protocol):
    """One thing to put right."""

    def cards(self, lot: Arrangement) -> list[Sides]:
        """The cards of the lot afterwards. Raises Refused where it cannot be done."""

    def mending(self, lot: Arrangement) -> Fixes:
        """What is remembered of it."""

    def label(self, lot: Arrangement) -> str:
        """It in a few words, for the history."""


def mended(
    lot: Arrangement, marks: Mapping[int, Mark], mend: Fix, next_id: int
) -> tuple[Arrangement, tuple[Marking, ...]]:
    """The arrangement with something put right, and the marks that moved with their scans.

    Raises Refused where it cannot be done, or a tagged card would lose its scans or become one with
    another."""
    cards, mending = mend.cards(lot), mend.mending(lot)
    pairs, _ = identified(lot.pairs, cards, next_id)
    moved = moved_marks(lot.pairs, pairs, marks)
    if isinstance(mend, Join):
        fresh = pairs[len(lot.pairs) :]
        given = (
            (new.id, mend.marks.get(old.id)) for new, old in zip(fresh, mend.lot.pairs, strict=True)
        )
        moved += tuple(Marking(id, Mark(), mark) for id, mark in given if mark is not None)
    return Arrangement(lot.sides, pairs, _steady(mending, lot, pairs)), moved


def _steady(mending: Fixes, before: Arrangement, after: Sequence[Pair]) -> Fixes:
    """What is remembered, where a stretch whose first scan was left out begins with the scan that
    came next."""
    have = {name for pair in after for name in pair[1:]}
    begins = []
    for scan, sides in mending.stretches:
        if scan not in have:
            old = [name for pair in before.pairs for name in pair[1:] if name is not None]
            behind = old[old.index(scan) + 1 :] if scan in old else []
            scan = next((name for name in behind if name in have), "")
        if scan:
            begins.append((scan, sides))
    return replace(mending, stretches=tuple(begins))
