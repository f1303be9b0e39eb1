"""Which side of which card a scan is, and cards with another scan of a side."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from tagger.core.feeding.order import Sides
    from tagger.core.model.arrangement import Arrangement

SIDES = ("front", "back")  # in the order of `Pair.sides`, by which one is found for the other


class ScanSide(NamedTuple):
    """The card that a scan belongs to (its position, from 1), and its side: `front` or `back`."""

    position: int
    side: str

    @property
    def at(self) -> int:
        """The card among all cards, from 0."""
        return self.position - 1


def scan_sides(arrangement: Arrangement) -> dict[str, ScanSide]:
    """The card and the side of each scan that is on a card, card by card."""
    return {
        scan: ScanSide(position, side)
        for position, pair in enumerate(arrangement.pairs, start=1)
        for side, scan in zip(SIDES, pair.sides, strict=True)
        if scan is not None
    }


def side_of(arrangement: Arrangement, scan: str) -> ScanSide | None:
    """The card and the side of one scan, None where it is on no card."""
    position = arrangement.position_with(scan)
    if position is None:
        return None
    return ScanSide(position, SIDES[arrangement.pairs[position - 1].sides.index(scan)])


def scan_on(card: Sides, side: str) -> str | None:
    """The scan of one side of a card."""
    return card[SIDES.index(side)]


def other_side(side: str) -> str:
    """Back for front, and front for back."""
    return SIDES[1 - SIDES.index(side)]


def card_with_side(card: Sides, side: str, scan: str | None) -> Sides:
    """A card with another scan of one side."""
    front, back = card
    if side == "front":
        return scan, back
    return front, scan
