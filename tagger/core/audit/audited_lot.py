"""What an audit looks at: a lot's cards in their order, and which side of a card each scan is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

from tagger.core.feeding.groups import groups_of
from tagger.core.feeding.order import feeding_order
from tagger.core.feeding.scan_sides import ScanSide, scan_sides
from tagger.core.feeding.sequence import ALTERNATING
from tagger.core.model.side_order import SideOrder

if TYPE_CHECKING:
    from tagger.core.model.arrangement import Arrangement, Pair


@dataclass(frozen=True)
class AuditedLot:
    """A lot's arrangement, and all scans in its folders in feeding order, those that were left out
    of its cards too. `times` are when the files were written, in ns, as far as that is known."""

    arrangement: Arrangement
    scans: Sequence[str]
    times: Mapping[str, int] = field(default_factory=dict)

    @property
    def pairs(self) -> Sequence[Pair]:
        """The cards in their order."""
        return self.arrangement.pairs

    @property
    def order(self) -> SideOrder:
        """The rule that made the cards."""
        return self.arrangement.sides

    @cached_property
    def places(self) -> dict[str, ScanSide]:
        """The card and the side of each scan that is on a card."""
        return scan_sides(self.arrangement)

    @cached_property
    def half_cards(self) -> list[int]:
        """The positions of the cards that lack a side."""
        return [at for at, pair in enumerate(self.pairs, start=1) if None in pair.sides]

    def begins(self) -> frozenset[str]:
        """The scans right behind a divider, which share a card with none before it."""
        groups = groups_of(self.arrangement)
        firsts = (self.pairs[at - 1] for at in groups.before if at <= len(self.pairs))
        return frozenset(feeding_order(pair.scans)[0] for pair in firsts)

    def in_turn(self) -> list[str]:
        """Scans as front and back should come in turn: card by card, those with both sides."""
        out: list[str] = []
        ends = {group.last for group in groups_of(self.arrangement)}
        for position, pair in enumerate(self.pairs, start=1):
            # The last card of a lot that alternates counts with one side: more scans may come. And
            # so does that of a group, where the cards before it may be off by one.
            unfinished = position in ends and self.order in ALTERNATING
            if len(pair.scans) == 2 or unfinished:
                out += reversed(pair.scans) if self.order is SideOrder.BACK_FIRST else pair.scans
        return out
