"""Scans put in their places: one too many, a side missing, sides that were fed the wrong way
round."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from tagger.core.feeding.order import Sides, pair_up
from tagger.core.feeding.sequence import ALTERNATING, SLIPPING, stretches
from tagger.core.fixes.cards import (
    first_scan,
    index_of,
    laid,
    left_out,
    sides_of,
    span_words,
    stretch_of,
    turn_of,
    where,
    with_side,
)
from tagger.core.model.arrangement import Arrangement, Fixes, Pair, SideOrder
from tagger.core.model.text import named
from tagger.errors import Refused


@dataclass(frozen=True)
class SkipScan:
    """A scan too many: it is no side of a card, and what was fed after it moves up."""

    scan: str

    def cards(self, lot: Arrangement) -> list[Sides]:
        """The cards of the lot afterwards; Refused where it cannot be done."""
        at, side = where(lot, self.scan)
        part = stretch_of(lot, at)
        card = lot.pairs[at]
        if part.sides not in SLIPPING or None in (card.front, card.back):
            return with_side(lot, at, side, None)
        tokens, place = turn_of(lot, part, at, side)
        return laid(lot, part, [*tokens[:place], *tokens[place + 1 :]])

    def mending(self, lot: Arrangement) -> Fixes:
        """What is remembered of it."""
        return left_out(lot.mending, self.scan)

    def label(self, lot: Arrangement) -> str:
        """It in a few words, for the history."""
        return (
            f"card {where(lot, self.scan)[0] + 1}: {named(self.scan)} left out, the scans "
            "after it move up"
        )


@dataclass(frozen=True)
class NoScan:
    """A scan that is no use: its card stays, with no scan of that side, and nothing moves."""

    scan: str

    def cards(self, lot: Arrangement) -> list[Sides]:
        """The cards of the lot afterwards."""
        return with_side(lot, *where(lot, self.scan), None)

    def mending(self, lot: Arrangement) -> Fixes:
        """What is remembered of it."""
        return left_out(lot.mending, self.scan)

    def label(self, lot: Arrangement) -> str:
        """It in a few words, for the history."""
        at, side = where(lot, self.scan)
        return f"card {at + 1}: no scan of its {side}, {named(self.scan)} left out"


@dataclass(frozen=True)
class MissingSide:
    """A side that was never scanned: at this card and side is a hole, and what lies there moves on
    with all behind."""

    position: int
    side: str

    def cards(self, lot: Arrangement) -> list[Sides]:
        """The cards of the lot afterwards; Refused where the side is missing already, or sides
        cannot slip."""
        at = index_of(lot, self.position)
        if getattr(lot.pairs[at], self.side) is None:
            raise Refused(f"Card {self.position} has no {self.side} already.")
        part = stretch_of(lot, at)
        if part.sides not in SLIPPING:
            raise Refused(
                f"Sides are read as {part.sides}: none can slip. 'without {self.side}' leaves "
                "that scan out."
            )
        tokens, place = turn_of(lot, part, at, self.side)
        if part.sides is SideOrder.FRONTS_THEN_BACKS_REVERSED and self.side == "back":
            place += 1  # those backs were fed the other way, the last card's first
        return laid(lot, part, [*tokens[:place], None, *tokens[place:]])

    def mending(self, lot: Arrangement) -> Fixes:
        """What is remembered of it."""
        return replace(lot.mending, held=True)

    def label(self, lot: Arrangement) -> str:
        """It in a few words, for the history."""
        return f"card {self.position}: its {self.side} is missing, the scans from there move on"


@dataclass(frozen=True)
class InsertGap:
    """A side that was never scanned, by the scan that was fed before or after it: what was mended
    in front of it meanwhile moves it as well. `side` is the one that is missing beside the `scan`,
    which is the other one."""

    scan: str
    side: str

    def cards(self, lot: Arrangement) -> list[Sides]:
        """The cards of the lot afterwards; Refused where it cannot be done."""
        return self._placed(lot).cards(lot)

    def mending(self, lot: Arrangement) -> Fixes:
        """What is remembered of it."""
        return self._placed(lot).mending(lot)

    def label(self, lot: Arrangement) -> str:
        """It in a few words, for the history."""
        return self._placed(lot).label(lot)

    def _placed(self, lot: Arrangement) -> MissingSide:
        at, is_now = where(lot, self.scan)
        first, second = (
            ("back", "front")
            if stretch_of(lot, at).sides is SideOrder.BACK_FIRST
            else ("front", "back")
        )
        # it would have been fed before the scan, and so is missed where that lies
        if self.side == first:
            return MissingSide(at + 1, is_now)
        return MissingSide(at + 1, second) if is_now == first else MissingSide(at + 2, first)


@dataclass(frozen=True)
class SwapSides:
    """Two scans change places: front and back of a card that was fed the wrong way round."""

    one: str
    other: str

    def cards(self, lot: Arrangement) -> list[Sides]:
        """The cards of the lot afterwards."""
        change = {self.one: self.other, self.other: self.one}
        where(lot, self.one), where(lot, self.other)
        return [_renamed(pair, change) for pair in lot.pairs]

    def mending(self, lot: Arrangement) -> Fixes:
        """What is remembered of it."""
        change = {self.one: self.other, self.other: self.one}
        begins = tuple((change.get(scan, scan), sides) for scan, sides in lot.mending.stretches)
        return replace(lot.mending, held=True, stretches=begins)

    def label(self, lot: Arrangement) -> str:
        """It in a few words, for the history."""
        return f"card {where(lot, self.one)[0] + 1}: front and back change places"


@dataclass(frozen=True)
class Reorder:
    """The cards from `first` to `last` (positions, from 1; None: to the end, with all that comes)
    read in another side order. In the alternating orders they stay the cards they are, and change
    front for back."""

    first: int
    last: int | None
    sides: SideOrder

    def cards(self, lot: Arrangement) -> list[Sides]:
        """The cards of the lot afterwards."""
        first, past = self._span(lot)
        here = lot.pairs[first:past]
        parts = {part.sides for part in stretches(lot) if part.first < past and part.past > first}
        if parts <= set(ALTERNATING) and self.sides in ALTERNATING and len(parts) == 1:
            middle = (
                [pair[1:] for pair in here]
                if self.sides in parts
                else [(back, front) for _, front, back in here]
            )
        else:
            middle = pair_up(
                [name for pair in here for name in pair[1:] if name is not None], self.sides
            )
        return [*sides_of(lot.pairs[:first]), *middle, *sides_of(lot.pairs[past:])]

    def mending(self, lot: Arrangement) -> Fixes:
        """What is remembered of it."""
        first, past = self._span(lot)
        inside = {name for pair in lot.pairs[first:past] for name in pair[1:]}
        begins = [(scan, sides) for scan, sides in lot.mending.stretches if scan not in inside]
        begins.append((first_scan(lot.pairs[first]), self.sides))
        if past < len(lot.pairs) and not any(scan in lot.pairs[past] for scan, _ in begins):
            begins.append((first_scan(lot.pairs[past]), stretch_of(lot, past).sides))
        return replace(lot.mending, held=True, stretches=tuple(begins))

    def label(self, lot: Arrangement) -> str:
        """It in a few words, for the history."""
        return f"{span_words(self.first, self.last)}: sides read as {self.sides}"

    def _span(self, lot: Arrangement) -> tuple[int, int]:
        first, past = (
            index_of(lot, self.first),
            len(lot.pairs) if self.last is None else index_of(lot, self.last) + 1,
        )
        if past <= first:
            raise Refused(f"Card {self.last} does not come after card {self.first}.")
        return first, past


def _renamed(pair: Pair, change: Mapping[str, str]) -> Sides:
    front, back = (change.get(name, name) if name is not None else None for name in pair[1:])
    return front, back
