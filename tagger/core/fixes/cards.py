"""What all mending needs of a lot: where a scan is, and cards with something changed about them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from tagger.core.feeding.order import Sides, feeding_order
from tagger.core.feeding.sequence import Segment, cards_from, in_turn, place_in_turn, stretches
from tagger.core.model.arrangement import Arrangement, Fixes, Pair
from tagger.core.model.text import named
from tagger.errors import Refused


def places(lot: Arrangement) -> dict[str, tuple[int, str]]:
    """The card's index (from 0) and side of each scan."""
    return {
        scan: (at, side)
        for at, pair in enumerate(lot.pairs)
        for scan, side in ((pair.front, "front"), (pair.back, "back"))
        if scan is not None
    }


def where(lot: Arrangement, scan: str) -> tuple[int, str]:
    """The card's index (from 0) and side that a scan is. Raises Refused where it is none."""
    for at, pair in enumerate(lot.pairs):
        if scan == pair.front:
            return at, "front"
        if scan == pair.back:
            return at, "back"
    raise Refused(f"{named(scan)} is no side of a card in this lot.")


def index_of(lot: Arrangement, position: int) -> int:
    """The index of the card at a position from 1. Raises Refused where there is none."""
    if not 1 <= position <= len(lot.pairs):
        raise Refused(f"There is no card {position}; the lot has {len(lot.pairs)}.")
    return position - 1


def sides_of(pairs: Sequence[Pair]) -> list[Sides]:
    """Cards as (front, back)."""
    return [pair[1:] for pair in pairs]


def with_side(lot: Arrangement, at: int, side: str, scan: str | None) -> list[Sides]:
    """The cards of a lot with another scan of one side; a card without any scan is gone."""
    front, back = lot.pairs[at][1:]
    card = (scan, back) if side == "front" else (front, scan)
    return [
        *sides_of(lot.pairs[:at]),
        *([card] if card != (None, None) else []),
        *sides_of(lot.pairs[at + 1 :]),
    ]


def stretch_of(lot: Arrangement, at: int) -> Segment:
    """The stretch that the card at an index belongs to."""
    return next(part for part in stretches(lot) if part.first <= at < part.past)


def turn_of(lot: Arrangement, part: Segment, at: int, side: str) -> tuple[list[str | None], int]:
    """The scans of a stretch in turn, and where the side of a card of it stands among them."""
    cards = sides_of(lot.pairs[part.first : part.past])
    return in_turn(cards, part.sides), place_in_turn(cards, at - part.first, side, part.sides)


def laid(lot: Arrangement, part: Segment, tokens: Sequence[str | None]) -> list[Sides]:
    """The cards of a lot with one stretch made of these scans in turn."""
    return [
        *sides_of(lot.pairs[: part.first]),
        *cards_from(tokens, part.sides),
        *sides_of(lot.pairs[part.past :]),
    ]


def first_scan(pair: Pair) -> str:
    """The scan of a card that was fed first."""
    return feeding_order(name for name in pair[1:] if name is not None)[0]


def left_out(mending: Fixes, scan: str) -> Fixes:
    """With a scan that is no side of a card."""
    return replace(mending, left_out=tuple(dict.fromkeys((*mending.left_out, scan))), held=True)


def span_words(first: int, last: int | None) -> str:
    """Some cards in words."""
    return (
        f"from card {first} on"
        if last is None
        else f"cards {first} to {last}"
        if first != last
        else f"card {first}"
    )
