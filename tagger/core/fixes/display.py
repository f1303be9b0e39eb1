"""How scans are seen: turned, brightened; and findings that the dealer found in order."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from tagger.core.feeding.scan_sides import ScanSide, scan_sides
from tagger.core.fixes.cards import sides_of, where

if TYPE_CHECKING:
    from tagger.core.feeding.order import Sides
    from tagger.core.model.arrangement import Arrangement, Fixes


class _OfSight:
    """A fix of how scans are seen: the cards stay as they are."""

    def cards(self, arrangement: Arrangement) -> list[Sides]:
        """The same cards as before."""
        return sides_of(arrangement.pairs)


@dataclass(frozen=True)
class Turn(_OfSight):
    """Scans turned clockwise by 90, 180 or 270 degrees, as they are seen and handed over."""

    scans: tuple[str, ...]
    degrees: int

    def fixes(self, arrangement: Arrangement) -> Fixes:
        """The lot's fixes afterwards; Refused where a scan is on no card."""
        turns = dict(arrangement.mending.turns)
        for scan in self.scans:
            where(arrangement, scan)
            # What is turned twice is turned by both: the dealer turns what is on the screen.
            turns[scan] = (turns.get(scan, 0) + self.degrees) % 360
        turned = tuple((scan, turn) for scan, turn in turns.items() if turn)
        return replace(arrangement.mending, turns=turned)

    def label(self, arrangement: Arrangement) -> str:
        """It in a few words, for the history."""
        turned = self._there(arrangement)
        first, last = min(turned).position, max(turned).position
        names = {one.side for one in turned}
        what = "both sides" if len(names) > 1 else min(names) + "s" * (first != last)
        cards = f"card {first}" if first == last else f"cards {first} to {last}"
        return f"{cards}: {what} rotated {self.degrees}°"

    def _there(self, arrangement: Arrangement) -> list[ScanSide]:
        """The scans that are on a card, with their cards. Raises Refused where none is."""
        sides = scan_sides(arrangement)
        there = [sides[scan] for scan in self.scans if scan in sides]
        # The label is asked for first: where none of the scans is there, it is what refuses.
        return there or [where(arrangement, self.scans[0])]


@dataclass(frozen=True)
class Brighten(_OfSight):
    """Dark scans of a set brightened as they are seen and handed over, or no longer; `*` is the
    whole lot."""

    name: str
    on: bool

    def fixes(self, arrangement: Arrangement) -> Fixes:
        """The lot's fixes afterwards."""
        # Kept by the name of the set: cards that are tagged later are brightened with it.
        sets = [name for name in arrangement.mending.levels if name != self.name]
        if self.on:
            sets.append(self.name)
        return replace(arrangement.mending, levels=tuple(sets))

    def label(self, arrangement: Arrangement) -> str:
        """It in a few words, for the history."""
        what = "the lot" if self.name == "*" else self.name
        return f"dark scans of {what} {'brightened' if self.on else 'no longer brightened'}"


@dataclass(frozen=True)
class Dismiss(_OfSight):
    """A finding that the dealer looked at and found in order; it is not told again."""

    finding: str
    words: str = ""

    def fixes(self, arrangement: Arrangement) -> Fixes:
        """The lot's fixes afterwards."""
        # By its key, which has no position: it holds when cards move, and for scans still to come.
        accepted = dict.fromkeys((*arrangement.mending.accepted, self.finding))
        return replace(arrangement.mending, accepted=tuple(accepted))

    def label(self, arrangement: Arrangement) -> str:
        """It in a few words, for the history."""
        return f"nothing wrong: {self.words or self.finding}"
