"""Scans taken into a lot by hand: made again, parted into cards, brought back, or those of another
folder."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from tagger.core.feeding.order import Sides
from tagger.core.feeding.sequence import fitted_in
from tagger.core.fixes.cards import first_scan, index_of, left_out, sides_of, where, with_side
from tagger.core.fixes.feeding import SkipScan
from tagger.core.model.arrangement import Arrangement, Fixes
from tagger.core.model.tags import Mark
from tagger.core.model.text import named
from tagger.errors import Refused


@dataclass(frozen=True)
class Rescan:
    """Another scan of a side, in the place of the one before, which is left out; or the first scan
    of a side."""

    position: int
    side: str
    scan: str

    def cards(self, lot: Arrangement) -> list[Sides]:
        """The cards of the lot afterwards; Refused where the scan is the side already."""
        at = index_of(lot, self.position)
        old = getattr(lot.pairs[at], self.side)
        if old == self.scan:
            raise Refused(f"{named(self.scan)} is the {self.side} of card {self.position} already.")
        if any(self.scan in pair[1:] for pair in lot.pairs):
            there = where(lot, self.scan)[0]
            cards = (
                SkipScan(self.scan).cards(lot)
                if there > at
                else with_side(lot, *where(lot, self.scan), None)
            )
        elif self.scan in lot.mending.left_out:
            cards = sides_of(lot.pairs)
        else:
            raise Refused(f"{named(self.scan)} is no scan of this lot.")
        kept = lot.pairs[at].front if self.side == "back" else lot.pairs[at].back
        index = next((n for n, card in enumerate(cards) if (old or kept) in card), None)
        if index is None:
            raise Refused(
                f"Card {self.position} has no other scan, so there is nothing to put this one to."
            )
        front, back = cards[index]
        cards[index] = (self.scan, back) if self.side == "front" else (front, self.scan)
        return cards

    def mending(self, lot: Arrangement) -> Fixes:
        """What is remembered of it."""
        old = getattr(lot.pairs[index_of(lot, self.position)], self.side)
        mending = left_out(lot.mending, old) if old is not None else replace(lot.mending, held=True)
        begins = tuple(
            (self.scan if scan == old else scan, sides) for scan, sides in mending.stretches
        )
        left = tuple(scan for scan in mending.left_out if scan != self.scan)
        return replace(mending, stretches=begins, left_out=left)

    def label(self, lot: Arrangement) -> str:
        """It in a few words, for the history."""
        return f"card {self.position}: {named(self.scan)} is its {self.side} now"


@dataclass(frozen=True)
class Split:
    """The sheets of one card parted into cards: names of parts as `core.order.part_name` gives
    them."""

    position: int
    parts: tuple[Sides, ...]

    def cards(self, lot: Arrangement) -> list[Sides]:
        """The cards of the lot afterwards."""
        at = index_of(lot, self.position)
        return [*sides_of(lot.pairs[:at]), *self.parts, *sides_of(lot.pairs[at + 1 :])]

    def mending(self, lot: Arrangement) -> Fixes:
        """What is remembered of it."""
        mending = lot.mending
        for scan in lot.pairs[index_of(lot, self.position)][1:]:
            mending = mending if scan is None else left_out(mending, scan)
        return mending

    def label(self, lot: Arrangement) -> str:
        """It in a few words, for the history."""
        return f"card {self.position}: the sheet is {len(self.parts)} cards"


@dataclass(frozen=True)
class RestoreScan:
    """A scan that was left out is taken in again."""

    scan: str

    def cards(self, lot: Arrangement) -> list[Sides]:
        """The cards of the lot afterwards; Refused where the scan was not left out."""
        if self.scan not in lot.mending.left_out:
            raise Refused(f"{named(self.scan)} was not left out of the lot.")
        return fitted_in(lot, [self.scan])

    def mending(self, lot: Arrangement) -> Fixes:
        """What is remembered of it."""
        left = tuple(scan for scan in lot.mending.left_out if scan != self.scan)
        return replace(lot.mending, left_out=left, held=True)

    def label(self, lot: Arrangement) -> str:
        """It in a few words, for the history."""
        return f"taken in again: {named(self.scan)}"


@dataclass(frozen=True)
class Join:
    """The cards of another folder behind those of the lot, with their scans under the names that
    they have from here; what was joined to that one comes with it. `marks` are their marks, by the
    identities in `lot`."""

    folder: str
    lot: Arrangement
    marks: Mapping[int, Mark]

    def cards(self, lot: Arrangement) -> list[Sides]:
        """The cards of the lot afterwards; Refused where the folder was joined before."""
        for folder in (self.folder, *self.lot.mending.joined):
            if folder in lot.mending.joined:
                raise Refused(f"{named(folder)} belongs to the lot already.")
        return [*sides_of(lot.pairs), *sides_of(self.lot.pairs)]

    def mending(self, lot: Arrangement) -> Fixes:
        """What is remembered of it."""
        here, there = lot.mending, self.lot.mending
        begins = (*here.stretches, *there.stretches)
        if self.lot.pairs and not any(scan in self.lot.pairs[0] for scan, _ in there.stretches):
            begins += ((first_scan(self.lot.pairs[0]), self.lot.sides),)
        return replace(
            here,
            left_out=(*here.left_out, *there.left_out),
            turns=(*here.turns, *there.turns),
            stretches=begins,
            joined=(*here.joined, self.folder, *there.joined),
            held=True,
        )

    def label(self, lot: Arrangement) -> str:
        """It in a few words, for the history."""
        return f"{len(self.lot.pairs)} cards of {named(self.folder)} joined"
