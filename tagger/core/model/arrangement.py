"""Which scans make which card, in feeding order, and what was put right by hand."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.model.side_order import SideOrder
from tagger.core.model.tags import Mark

if TYPE_CHECKING:
    from collections.abc import Callable


class Pair(NamedTuple):
    """A card's place in an arrangement: its identity and its two scans."""

    id: int
    front: str | None
    back: str | None

    @property
    def sides(self) -> tuple[str | None, str | None]:
        """Front and back, None where a side is missing."""
        return self.front, self.back

    @property
    def scans(self) -> tuple[str, ...]:
        """The scans it has, front first."""
        return tuple(scan for scan in self.sides if scan is not None)


class PlacedDivider(NamedTuple):
    """A divider that was fed between two groups: the scans of its front and its back, empty where
    there is none, and what it says, as the text of its code."""

    front: str
    back: str
    text: str

    @property
    def scans(self) -> tuple[str, ...]:
        """The scans that it has, front first."""
        return tuple(filter(None, (self.front, self.back)))

    @property
    def key(self) -> str:
        """The scan that it is known by."""
        return self.front or self.back

    def renamed(self, name: Callable[[str], str]) -> PlacedDivider:
        """It with its scans under other names."""
        front, back = (scan and name(scan) for scan in (self.front, self.back))
        return PlacedDivider(front, back, self.text)


@dataclass(frozen=True, slots=True)
class Fixes:
    """What the dealer put right without touching a scan.

    `left_out`: scans that are no side of a card (one too many, a sheet that was split). `turns`: by
    how many degrees clockwise a scan is turned to be seen upright, 90, 180 or 270. `stretches`:
    from the card of this scan on another side order holds. `levels`: sets whose dark scans are
    brightened, `*` for the whole lot. `accepted`: findings that the dealer found in order.
    `joined`: folders beside the lot's own whose scans belong to it, `../box13`. `dividers`: sheets
    between groups, which are no cards. `held`: the cards are as the dealer made them, and not only
    as the side order makes them. `restored`: scans of dividers that the dealer wants on cards: they
    are asked about, and never left out unasked again."""

    # Tuples of pairs in place of dicts: an arrangement is kept in the history, and must not change
    # there.
    left_out: tuple[str, ...] = ()
    turns: tuple[tuple[str, int], ...] = ()
    stretches: tuple[tuple[str, SideOrder], ...] = ()
    levels: tuple[str, ...] = ()
    accepted: tuple[str, ...] = ()
    joined: tuple[str, ...] = ()
    held: bool = False
    dividers: tuple[PlacedDivider, ...] = ()
    restored: tuple[str, ...] = ()


@dataclass(frozen=True)
class Arrangement:
    """Which scans make which card, in feeding order, the rule that made it so, and what was put
    right by hand. Positions count from 1."""

    # No slots: each key asks for many positions, so what is looked up is worked out once a value.
    sides: SideOrder = SideOrder.ALTERNATE
    pairs: tuple[Pair, ...] = ()
    mending: Fixes = field(default_factory=Fixes)

    @cached_property
    def _positions(self) -> dict[int, int]:
        return {pair.id: position for position, pair in enumerate(self.pairs, start=1)}

    @cached_property
    def _owners(self) -> dict[str, Pair]:
        return {scan: pair for pair in self.pairs for scan in pair.scans}

    def position_of(self, id: int) -> int | None:
        """Where a card stands, by its identity; None where there is no such card."""
        return self._positions.get(id)

    def card_with(self, scan: str) -> Pair | None:
        """The card that has this scan; None where no card has it."""
        return self._owners.get(scan)

    def position_with(self, scan: str) -> int | None:
        """Where the card that has this scan stands; None where no card has it."""
        pair = self.card_with(scan)
        if pair is None:
            return None
        return self.position_of(pair.id)

    @property
    def scans(self) -> tuple[str, ...]:
        """All scans that are a side of a card, in feeding order of the cards, front first."""
        # A dict keeps the order in which its keys came.
        return tuple(self._owners)


@dataclass(frozen=True, slots=True)
class Card:
    """One physical card: scan names of its sides (None where a side is missing) and its mark."""

    id: int
    front: str | None
    back: str | None
    mark: Mark = field(default_factory=Mark)
