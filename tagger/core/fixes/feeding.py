"""Scans put in their places: one too many, a side missing, sides that were fed the wrong way
round."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from tagger.core.feeding.order import Sides, pair_up
from tagger.core.feeding.scan_sides import SIDES, scan_on
from tagger.core.feeding.sequence import ALTERNATING, SLIPPING, segments
from tagger.core.fixes.cards import (
    first_scan,
    index_of,
    left_out,
    scans_in_turn,
    segment_of,
    sides_of,
    span_words,
    where,
    with_segment,
    with_side,
    without_scan,
)
from tagger.core.model.side_order import SideOrder
from tagger.core.model.text import named
from tagger.errors import Refused

if TYPE_CHECKING:
    from tagger.core.model.arrangement import Arrangement, Fixes, Pair


@dataclass(frozen=True)
class SkipScan:
    """A scan too many: it is no side of a card, and what was fed after it moves up."""

    scan: str

    def cards(self, arrangement: Arrangement) -> list[Sides]:
        """The cards of the lot afterwards; Refused where it cannot be done."""
        return without_scan(arrangement, self.scan)

    def fixes(self, arrangement: Arrangement) -> Fixes:
        """The lot's fixes afterwards."""
        return left_out(arrangement.mending, self.scan)

    def label(self, arrangement: Arrangement) -> str:
        """It in a few words, for the history."""
        return (
            f"card {where(arrangement, self.scan).position}: {named(self.scan)} skipped, later "
            "scans move up"
        )


@dataclass(frozen=True)
class NoScan:
    """A scan that is no use: its card stays, with no scan of that side, and nothing moves."""

    scan: str

    def cards(self, arrangement: Arrangement) -> list[Sides]:
        """The cards of the lot afterwards."""
        there = where(arrangement, self.scan)
        return with_side(arrangement, there.at, there.side, None)

    def fixes(self, arrangement: Arrangement) -> Fixes:
        """The lot's fixes afterwards."""
        return left_out(arrangement.mending, self.scan)

    def label(self, arrangement: Arrangement) -> str:
        """It in a few words, for the history."""
        position, side = where(arrangement, self.scan)
        return f"card {position}: no {side}, {named(self.scan)} skipped"


class _HeldByHand:
    """A fix after which the cards are no longer as the side order alone would make them."""

    def fixes(self, arrangement: Arrangement) -> Fixes:
        """The lot's fixes afterwards."""
        # Nothing else tells of a hole: paired by the rule again, the scans would close it.
        return replace(arrangement.mending, held=True)


@dataclass(frozen=True)
class MissingSide(_HeldByHand):
    """A side that was never scanned: at this card and side is a hole, and what lies there moves on
    with all behind."""

    position: int
    side: str

    def cards(self, arrangement: Arrangement) -> list[Sides]:
        """The cards of the lot afterwards; Refused where the side is missing already, or sides
        cannot slip."""
        at = index_of(arrangement, self.position)
        if scan_on(arrangement.pairs[at].sides, self.side) is None:
            raise Refused(f"Card {self.position} already has no {self.side}.")
        part = segment_of(arrangement, at)
        if part.sides not in SLIPPING:
            raise Refused(
                f"The side order here is {part.sides}, where no scan shifts the others; 'no "
                f"{self.side}' ignores that scan."
            )
        tokens, place = scans_in_turn(arrangement, part, at, self.side)
        if part.sides is SideOrder.FRONTS_THEN_BACKS_REVERSED and self.side == "back":
            place += 1  # those backs were fed the other way, the last card's first
        return with_segment(arrangement, part, [*tokens[:place], None, *tokens[place:]])

    def label(self, arrangement: Arrangement) -> str:
        """It in a few words, for the history."""
        return f"card {self.position}: its {self.side} is missing, later scans shift by one"


@dataclass(frozen=True)
class InsertGap(_HeldByHand):
    """A side that was never scanned, by the scan that was fed before or after it: what was fixed in
    front of it meanwhile moves it as well. `side` is the one that is missing beside the `scan`,
    which is the other one."""

    scan: str
    side: str

    def cards(self, arrangement: Arrangement) -> list[Sides]:
        """The cards of the lot afterwards; Refused where it cannot be done."""
        # Found again by its scan each time: positions in a finding are those of the last audit.
        return self._placed(arrangement).cards(arrangement)

    def label(self, arrangement: Arrangement) -> str:
        """It in a few words, for the history."""
        return self._placed(arrangement).label(arrangement)

    def _placed(self, arrangement: Arrangement) -> MissingSide:
        there = where(arrangement, self.scan)
        first, second = SIDES
        if segment_of(arrangement, there.at).sides is SideOrder.BACK_FIRST:
            first, second = second, first
        # it would have been fed before the scan, and so is missed where that lies
        if self.side == first:
            return MissingSide(there.position, there.side)
        if there.side == first:
            return MissingSide(there.position, second)
        return MissingSide(there.position + 1, first)


@dataclass(frozen=True)
class SwapSides:
    """Two scans change places: front and back of a card that was fed the wrong way round."""

    one: str
    other: str

    def cards(self, arrangement: Arrangement) -> list[Sides]:
        """The cards of the lot afterwards."""
        # Refused for both before anything is made: one that is gone would be given to a card again.
        for scan in (self.one, self.other):
            where(arrangement, scan)
        return [_renamed(pair, self._change) for pair in arrangement.pairs]

    def fixes(self, arrangement: Arrangement) -> Fixes:
        """The lot's fixes afterwards."""
        # A segment begins at a scan by its name: where that one goes, the beginning must not.
        begins = tuple(
            (self._change.get(scan, scan), sides) for scan, sides in arrangement.mending.stretches
        )
        return replace(arrangement.mending, held=True, stretches=begins)

    def label(self, arrangement: Arrangement) -> str:
        """It in a few words, for the history."""
        return f"card {where(arrangement, self.one).position}: front and back swapped"

    @property
    def _change(self) -> dict[str, str]:
        return {self.one: self.other, self.other: self.one}


@dataclass(frozen=True)
class Reorder:
    """The cards from `first` to `last` (positions, from 1; None: to the end, with all that comes)
    read in another side order. In the alternating orders they stay the cards they are, and change
    front for back."""

    first: int
    last: int | None
    sides: SideOrder

    def cards(self, arrangement: Arrangement) -> list[Sides]:
        """The cards of the lot afterwards."""
        first, past = self._span(arrangement)
        pairs = arrangement.pairs
        return [
            *sides_of(pairs[:first]),
            *self._reordered(arrangement, first, past),
            *sides_of(pairs[past:]),
        ]

    def fixes(self, arrangement: Arrangement) -> Fixes:
        """The lot's fixes afterwards."""
        first, past = self._span(arrangement)
        pairs = arrangement.pairs
        begins = _begun_outside(arrangement, first, past)
        begins.append((first_scan(pairs[first]), self.sides))
        # Behind the span the order goes on that held there, unless something begins there anyway.
        if past < len(pairs) and not any(scan in pairs[past].scans for scan, _ in begins):
            begins.append((first_scan(pairs[past]), segment_of(arrangement, past).sides))
        return replace(arrangement.mending, held=True, stretches=tuple(begins))

    def label(self, arrangement: Arrangement) -> str:
        """It in a few words, for the history."""
        return f"{span_words(self.first, self.last)}: side order {self.sides}"

    def _span(self, arrangement: Arrangement) -> tuple[int, int]:
        """The first index, and one past the last."""
        first, past = index_of(arrangement, self.first), len(arrangement.pairs)
        if self.last is not None:
            past = index_of(arrangement, self.last) + 1
        if past <= first:
            raise Refused(f"Card {self.last} does not come after card {self.first}.")
        return first, past

    def _reordered(self, arrangement: Arrangement, first: int, past: int) -> list[Sides]:
        """The cards of the span in the other order."""
        here = arrangement.pairs[first:past]
        orders = _orders_within(arrangement, first, past)
        # Paired anew, a card that lacks a side would take the next card's scan.
        if len(orders) == 1 and orders | {self.sides} <= set(ALTERNATING):
            # Read so already: only that it stays so, whatever comes later, is new.
            if self.sides in orders:
                return sides_of(here)
            return [(pair.back, pair.front) for pair in here]
        # By all scans of the span alone: what lies before and behind it keeps its cards.
        return pair_up([scan for pair in here for scan in pair.scans], self.sides)


def _begun_outside(arrangement: Arrangement, first: int, past: int) -> list[tuple[str, SideOrder]]:
    """The side orders that were set by hand, with the scans where they begin, but for those in a
    span: they are overruled."""
    inside = {scan for pair in arrangement.pairs[first:past] for scan in pair.scans}
    return [one for one in arrangement.mending.stretches if one[0] not in inside]


def _orders_within(arrangement: Arrangement, first: int, past: int) -> set[SideOrder]:
    """The side orders that hold for cards of a span."""
    return {part.sides for part in segments(arrangement) if part.first < past and part.past > first}


def _renamed(pair: Pair, change: Mapping[str, str]) -> Sides:
    front, back = (scan and change.get(scan, scan) for scan in pair.sides)
    return front, back
