"""Scans taken into a lot by hand: made again, parted into cards, brought back, or those of another
folder."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from tagger.core.feeding.scan_sides import card_with_side, other_side, scan_on, side_of
from tagger.core.feeding.sequence import fitted_in
from tagger.core.fixes.cards import (
    first_scan,
    index_of,
    left_out,
    sides_of,
    with_side,
    without_scan,
)
from tagger.core.model.counted import counted
from tagger.core.model.tags import Mark, Marking
from tagger.core.model.text import named
from tagger.errors import Refused

if TYPE_CHECKING:
    from tagger.core.feeding.order import Sides
    from tagger.core.model.arrangement import Arrangement, Fixes, Pair
    from tagger.core.model.scan_ref import ScanStamp
    from tagger.core.model.side_order import SideOrder


@dataclass(frozen=True)
class Rescan:
    """Another scan of a side, in the place of the one before, which is left out; or the first scan
    of a side."""

    position: int
    side: str
    scan: str

    def cards(self, arrangement: Arrangement) -> list[Sides]:
        """The cards of the lot afterwards; Refused where the scan is the side already."""
        at = index_of(arrangement, self.position)
        old = self._old(arrangement)
        if old == self.scan:
            raise Refused(f"{named(self.scan)} is already the {self.side} of card {self.position}.")
        cards = self._without_the_scan(arrangement, at)
        # Cards may have moved or gone meanwhile: the card is found again by a scan that it keeps.
        known_by = old or scan_on(arrangement.pairs[at].sides, other_side(self.side))
        index = next((n for n, card in enumerate(cards) if known_by in card), None)
        if index is None:
            raise Refused(f"Card {self.position} has no other scan for this one to join.")
        cards[index] = card_with_side(cards[index], self.side, self.scan)
        return cards

    def fixes(self, arrangement: Arrangement) -> Fixes:
        """The lot's fixes afterwards."""
        old = self._old(arrangement)
        fixes = replace(arrangement.mending, held=True)
        if old is not None:
            fixes = left_out(fixes, old)
        # A segment begins at a scan by its name, so it begins at the new one now.
        begins = tuple(
            (self.scan if scan == old else scan, sides) for scan, sides in fixes.stretches
        )
        left = tuple(scan for scan in fixes.left_out if scan != self.scan)
        return replace(fixes, stretches=begins, left_out=left)

    def label(self, arrangement: Arrangement) -> str:
        """It in a few words, for the history."""
        return f"card {self.position}: {named(self.scan)} is now its {self.side}"

    def _old(self, arrangement: Arrangement) -> str | None:
        """The scan that is the side so far."""
        pair = arrangement.pairs[index_of(arrangement, self.position)]
        return scan_on(pair.sides, self.side)

    def _without_the_scan(self, arrangement: Arrangement, at: int) -> list[Sides]:
        """The cards of the lot without the scan where it lies so far."""
        there = side_of(arrangement, self.scan)
        # A scan that was skipped before may be the good one after all.
        if there is None:
            if self.scan not in arrangement.mending.left_out:
                raise Refused(f"{named(self.scan)} is not a scan of this lot.")
            return sides_of(arrangement.pairs)
        # Fed after the card it was one too many there, and what follows moves up; fed before it,
        # moving up would move the card itself.
        if there.at > at:
            return without_scan(arrangement, self.scan)
        return with_side(arrangement, there.at, there.side, None)


@dataclass(frozen=True)
class Split:
    """The sheets of one card parted into cards: names of parts as `core.feeding.order.part_name`
    gives them."""

    position: int
    parts: tuple[Sides, ...]

    def cards(self, arrangement: Arrangement) -> list[Sides]:
        """The cards of the lot afterwards."""
        at = index_of(arrangement, self.position)
        pairs = arrangement.pairs
        return [*sides_of(pairs[:at]), *self.parts, *sides_of(pairs[at + 1 :])]

    def fixes(self, arrangement: Arrangement) -> Fixes:
        """The lot's fixes afterwards."""
        fixes = arrangement.mending
        # The sheets stay in the folder: left out, they are not taken in again as new scans.
        for scan in arrangement.pairs[index_of(arrangement, self.position)].scans:
            fixes = left_out(fixes, scan)
        return fixes

    def label(self, arrangement: Arrangement) -> str:
        """It in a few words, for the history."""
        return f"card {self.position}: sheet split into {len(self.parts)} cards"


@dataclass(frozen=True)
class RestoreScan:
    """A scan that was left out is taken in again."""

    scan: str

    def cards(self, arrangement: Arrangement) -> list[Sides]:
        """The cards of the lot afterwards; Refused where the scan was not left out."""
        if self.scan not in arrangement.mending.left_out:
            raise Refused(f"{named(self.scan)} was not skipped.")
        # As one that came late: it fills the hole that it left, or comes at the end.
        return fitted_in(arrangement, [self.scan])

    def fixes(self, arrangement: Arrangement) -> Fixes:
        """The lot's fixes afterwards."""
        mending = arrangement.mending
        left = tuple(scan for scan in mending.left_out if scan != self.scan)
        # who wants it on a card has said that it is not a divider's
        dividers = tuple(one for one in mending.dividers if self.scan not in one.scans)
        restored = (
            scan for one in mending.dividers if self.scan in one.scans for scan in one.scans
        )
        return replace(
            mending, left_out=left, dividers=dividers, held=True,
            restored=(*mending.restored, *restored),
        )  # fmt: skip

    def label(self, arrangement: Arrangement) -> str:
        """It in a few words, for the history."""
        return f"restored: {named(self.scan)}"


@dataclass(frozen=True)
class Join:
    """The cards of another folder behind those of the lot, with their scans under the names that
    they have from here; what was joined to that one comes with it. `marks` are their marks, by the
    identities in `other`, the arrangement of that folder's lot; `stamps` is what its scans were."""

    folder: str
    other: Arrangement
    marks: Mapping[int, Mark]
    stamps: Mapping[str, ScanStamp] = field(default_factory=dict)

    def cards(self, arrangement: Arrangement) -> list[Sides]:
        """The cards of the lot afterwards; Refused where the folder was joined before."""
        # A folder that comes with another one is as much a part of the lot as that.
        for folder in (self.folder, *self.other.mending.joined):
            if folder in arrangement.mending.joined:
                raise Refused(f"{named(folder)} already belongs to the lot.")
        return [*sides_of(arrangement.pairs), *sides_of(self.other.pairs)]

    def fixes(self, arrangement: Arrangement) -> Fixes:
        """The lot's fixes afterwards."""
        here, there = arrangement.mending, self.other.mending
        return replace(
            here,
            # What was put right there stays right here.
            left_out=(*here.left_out, *there.left_out),
            turns=(*here.turns, *there.turns),
            stretches=(*here.stretches, *there.stretches, *self._beginning()),
            joined=(*here.joined, self.folder, *there.joined),
            dividers=(*here.dividers, *there.dividers),
            restored=(*here.restored, *there.restored),
            held=True,
        )

    def label(self, arrangement: Arrangement) -> str:
        """It in a few words, for the history."""
        return f"{counted(len(self.other.pairs), 'card')} joined from {named(self.folder)}"

    def markings(self, fresh: Sequence[Pair]) -> tuple[Marking, ...]:
        """What its cards are marked with, now that they are these: in the order of `other`."""
        return tuple(
            # Its running numbers are of its own lot: here they may be those of other cards.
            Marking(new.id, Mark(), replace(self.marks[old.id], running=0))
            for new, old in zip(fresh, self.other.pairs, strict=True)
            if old.id in self.marks
        )

    def _beginning(self) -> tuple[tuple[str, SideOrder], ...]:
        """Its first card, from which on its own side order holds, unless its fixes say so."""
        if not self.other.pairs:
            return ()
        first = self.other.pairs[0]
        if any(scan in first.scans for scan, _ in self.other.mending.stretches):
            return ()
        return ((first_scan(first), self.other.sides),)
