"""Which scans make which card, in feeding order, and what was put right by hand."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from typing import NamedTuple

from tagger.core.model.tags import Mark


class SideOrder(StrEnum):
    """Which scan shows which side of which card."""

    ALTERNATE = "front, back"
    BACK_FIRST = "back, front"
    FRONT_ONLY = "fronts only"
    NAMED = "by name"
    FRONTS_THEN_BACKS = "all fronts, then all backs"
    FRONTS_THEN_BACKS_REVERSED = "all fronts, then all backs in reverse"


class Pair(NamedTuple):
    """A card's place in an arrangement: its identity and its two scans."""

    id: int
    front: str | None
    back: str | None


@dataclass(frozen=True, slots=True)
class Fixes:
    """What the dealer put right without touching a scan.

    `left_out`: scans that are no side of a card (one too many, a sheet that was split). `turns`: by
    how many degrees clockwise a scan is turned to be seen upright, 90, 180 or 270. `stretches`:
    from the card of this scan on another side order holds. `levels`: sets whose dark scans are
    brightened, `*` for the whole lot. `accepted`: findings that the dealer found in order.
    `joined`: folders beside the lot's own whose scans belong to it, `../box13`. `held`: the cards
    are as the dealer made them, and not only as the side order makes them."""

    left_out: tuple[str, ...] = ()
    turns: tuple[tuple[str, int], ...] = ()
    stretches: tuple[tuple[str, SideOrder], ...] = ()
    levels: tuple[str, ...] = ()
    accepted: tuple[str, ...] = ()
    joined: tuple[str, ...] = ()
    held: bool = False


@dataclass(frozen=True, slots=True)
class Arrangement:
    """Which scans make which card, in feeding order, the rule that made it so, and what was put
    right by hand."""

    sides: SideOrder = SideOrder.ALTERNATE
    pairs: tuple[Pair, ...] = ()
    mending: Fixes = field(default_factory=Fixes)


@dataclass(frozen=True, slots=True)
class Card:
    """One physical card: scan names of its sides (None where a side is missing) and its mark."""

    id: int
    front: str | None
    back: str | None
    mark: Mark = field(default_factory=Mark)
