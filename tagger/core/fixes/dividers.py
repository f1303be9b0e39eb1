"""Dividers that were fed with the cards: their scans make no card, and what lies behind them does
not share a card with what lies before."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from tagger.core.dividers.divider import divider_on
from tagger.core.feeding.order import feeding_key
from tagger.core.feeding.scan_sides import scan_sides
from tagger.core.feeding.sequence import ALTERNATING, cards_from, in_turn, segments
from tagger.core.fixes.cards import sides_of
from tagger.core.model.counted import counted
from tagger.core.model.text import named
from tagger.errors import Refused

if TYPE_CHECKING:
    from tagger.core.feeding.order import Sides
    from tagger.core.feeding.sequence import Segment
    from tagger.core.model.arrangement import Arrangement, Fixes, PlacedDivider


@dataclass(frozen=True)
class LeaveOutDividers:
    """Dividers are no cards: their scans are left out, and the cards behind each are made afresh
    from there."""

    dividers: tuple[PlacedDivider, ...]

    @property
    def scans(self) -> tuple[str, ...]:
        """All scans that are left out."""
        return tuple(scan for one in self.dividers for scan in one.scans)

    def cards(self, arrangement: Arrangement) -> list[Sides]:
        """The cards of the lot afterwards. Raises Refused where a scan is on no card."""
        there = scan_sides(arrangement)
        # All or nothing: with one of its sides gone the lot is another one than the codes were seen
        # in.
        missing = next((scan for scan in self.scans if scan not in there), None)
        if missing is not None:
            raise Refused(f"{named(missing)} is not on any card of this lot.")
        return [card for part in segments(arrangement) for card in self._within(arrangement, part)]

    def _within(self, arrangement: Arrangement, part: Segment) -> Iterable[Sides]:
        """The cards of a segment without the dividers in it."""
        cards = sides_of(arrangement.pairs[part.first : part.past])
        out = set(self.scans)
        # Cards of other segments stay as they are, holes and all.
        if not any(scan in out for card in cards for scan in card):
            return cards
        # Elsewhere the scans of a divider are cards of their own: with them gone nothing moves.
        if part.sides not in ALTERNATING:
            return _without(cards, out)
        tokens = in_turn(cards, part.sides)
        return [card for some in _parted(tokens, out) for card in cards_from(some, part.sides)]

    def fixes(self, arrangement: Arrangement) -> Fixes:
        """The lot's fixes afterwards."""
        fixes = arrangement.mending
        left_out = tuple(dict.fromkeys((*fixes.left_out, *self.scans)))
        # By the scan: a divider that is read again, and better, takes the place of what was read
        # before.
        known = {one.key: one for one in (*fixes.dividers, *self.dividers)}
        dividers = tuple(sorted(known.values(), key=lambda one: feeding_key(one.key)))
        restored = tuple(scan for scan in fixes.restored if scan not in self.scans)
        return replace(fixes, left_out=left_out, dividers=dividers, restored=restored)

    def label(self, arrangement: Arrangement) -> str:
        """It in a few words, for the history."""
        if len(self.dividers) != 1:
            return f"{counted(len(self.dividers), 'divider')} skipped"
        title = divider_on(self.dividers[0]).title
        return f"divider {title}: {counted(len(self.scans), 'scan')} skipped"


def _without(cards: Sequence[Sides], out: Iterable[str]) -> Iterable[Sides]:
    """The cards without some scans; what has none left is gone."""
    gone = set(out)
    kept = (
        (None if front in gone else front, None if back in gone else back) for front, back in cards
    )
    return [card for card in kept if card != (None, None)]


def _parted(tokens: Sequence[str | None], out: Iterable[str]) -> Iterable[list[str | None]]:
    """The scans in turn, parted where some are taken out."""
    gone, parts = set(out), [list[str | None]()]
    for token in tokens:
        if token not in gone:
            parts[-1].append(token)
        # The two sides of one divider part the cards once, and not into a group of none between
        # them.
        elif parts[-1]:
            parts.append([])
    return [_without_first_hole(part) for part in parts]


def _without_first_hole(part: list[str | None]) -> list[str | None]:
    # a hole right behind a divider is the other side of one that was fed with one side
    return part[1:] if part[:1] == [None] else part
