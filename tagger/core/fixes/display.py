"""How scans are seen: turned, brightened; and findings that the dealer found in order."""

from __future__ import annotations

from dataclasses import dataclass, replace

from tagger.core.feeding.order import Sides
from tagger.core.fixes.cards import places, sides_of
from tagger.core.model.arrangement import Arrangement, Fixes
from tagger.core.model.text import named
from tagger.errors import Refused


@dataclass(frozen=True)
class Turn:
    """Scans turned clockwise by 90, 180 or 270 degrees, as they are seen and handed over."""

    scans: tuple[str, ...]
    degrees: int

    def cards(self, lot: Arrangement) -> list[Sides]:
        """The same cards as before."""
        return sides_of(lot.pairs)

    def mending(self, lot: Arrangement) -> Fixes:
        """What is remembered of it."""
        turns, sided = dict(lot.mending.turns), places(lot)
        for scan in self.scans:
            if scan not in sided:
                raise Refused(f"{named(scan)} is no side of a card in this lot.")
            turns[scan] = (turns.get(scan, 0) + self.degrees) % 360
        return replace(
            lot.mending, turns=tuple((scan, turn) for scan, turn in turns.items() if turn)
        )

    def label(self, lot: Arrangement) -> str:
        """It in a few words, for the history."""
        sided = places(lot)
        turned = [sided[scan] for scan in self.scans if scan in sided]
        first, last = min(at for at, _ in turned) + 1, max(at for at, _ in turned) + 1
        sides = {side for _, side in turned}
        both = len(sides) > 1
        if first == last:
            return (
                f"card {first}: {'both sides' if both else sides.pop()} turned by "
                f"{self.degrees} degrees"
            )
        what = "both sides" if both else f"{sides.pop()}s"
        return f"cards {first} to {last}: {what} turned by {self.degrees} degrees"


@dataclass(frozen=True)
class Brighten:
    """Dark scans of a set brightened as they are seen and handed over, or no longer; `*` is the
    whole lot."""

    name: str
    on: bool

    def cards(self, lot: Arrangement) -> list[Sides]:
        """The same cards as before."""
        return sides_of(lot.pairs)

    def mending(self, lot: Arrangement) -> Fixes:
        """What is remembered of it."""
        others = tuple(name for name in lot.mending.levels if name != self.name)
        return replace(lot.mending, levels=(*others, self.name) if self.on else others)

    def label(self, lot: Arrangement) -> str:
        """It in a few words, for the history."""
        where_ = "the lot" if self.name == "*" else self.name
        return f"dark scans of {where_} {'brightened' if self.on else 'as they are'}"


@dataclass(frozen=True)
class Dismiss:
    """A finding that the dealer looked at and found in order; it is not told again."""

    finding: str
    words: str = ""

    def cards(self, lot: Arrangement) -> list[Sides]:
        """The same cards as before."""
        return sides_of(lot.pairs)

    def mending(self, lot: Arrangement) -> Fixes:
        """What is remembered of it."""
        return replace(
            lot.mending, accepted=tuple(dict.fromkeys((*lot.mending.accepted, self.finding)))
        )

    def label(self, lot: Arrangement) -> str:
        """It in a few words, for the history."""
        return f"in order: {self.words or self.finding}"
