"""What all fixes need of a lot: where a scan is, and cards with something changed about them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from tagger.core.feeding.order import Sides, feeding_order
from tagger.core.feeding.scan_sides import ScanSide, card_with_side, side_of
from tagger.core.feeding.sequence import (
    SLIPPING,
    Segment,
    cards_from,
    in_turn,
    place_in_turn,
    segments,
)
from tagger.core.model.text import named
from tagger.errors import Refused

if TYPE_CHECKING:
    from tagger.core.model.arrangement import Arrangement, Fixes, Pair


def where(arrangement: Arrangement, scan: str) -> ScanSide:
    """The card and the side that a scan is. Raises Refused where it is none."""
    found = side_of(arrangement, scan)
    if found is None:
        raise Refused(f"{named(scan)} is not on any card of this lot.")
    return found


def index_of(arrangement: Arrangement, position: int) -> int:
    """The index of the card at a position from 1. Raises Refused where there is none."""
    if not 1 <= position <= len(arrangement.pairs):
        raise Refused(f"There is no card {position}; the lot has {len(arrangement.pairs)}.")
    return position - 1


def sides_of(pairs: Sequence[Pair]) -> list[Sides]:
    """Cards as (front, back)."""
    return [pair.sides for pair in pairs]


def with_side(arrangement: Arrangement, at: int, side: str, scan: str | None) -> list[Sides]:
    """The cards of a lot with another scan of one side; a card without any scan is gone."""
    cards = sides_of(arrangement.pairs)
    cards[at] = card_with_side(cards[at], side, scan)
    # Without a scan there is nothing to see it by, nor to find it by in the folder.
    if cards[at] == (None, None):
        del cards[at]
    return cards


def segment_of(arrangement: Arrangement, at: int) -> Segment:
    """The segment that the card at an index belongs to."""
    return next(part for part in segments(arrangement) if part.first <= at < part.past)


def scans_in_turn(
    arrangement: Arrangement, part: Segment, at: int, side: str
) -> tuple[list[str | None], int]:
    """The scans of a segment in turn, and where the side of a card of it stands among them."""
    cards = sides_of(arrangement.pairs[part.first : part.past])
    return in_turn(cards, part.sides), place_in_turn(cards, at - part.first, side, part.sides)


def with_segment(
    arrangement: Arrangement, part: Segment, tokens: Sequence[str | None]
) -> list[Sides]:
    """The cards of a lot with one segment made of these scans in turn."""
    return [
        *sides_of(arrangement.pairs[: part.first]),
        *cards_from(tokens, part.sides),
        *sides_of(arrangement.pairs[part.past :]),
    ]


def first_scan(pair: Pair) -> str:
    """The scan of a card that was fed first."""
    # By its name: what stands as the front may be what was fed second.
    return feeding_order(pair.scans)[0]


def left_out(fixes: Fixes, scan: str) -> Fixes:
    """With a scan that is no side of a card."""
    # Once the dealer has said which scans make cards, scans that come later must not undo it by
    # being paired afresh: that is what `held` keeps.
    return replace(fixes, left_out=tuple(dict.fromkeys((*fixes.left_out, scan))), held=True)


def span_words(first: int, last: int | None) -> str:
    """Some cards in words."""
    if last is None:
        return f"from card {first} on"
    if first == last:
        return f"card {first}"
    return f"cards {first} to {last}"


def without_scan(arrangement: Arrangement, scan: str) -> list[Sides]:
    """The cards without a scan too many: what was fed after it moves up. Refused where it is on no
    card."""
    there = where(arrangement, scan)
    part = segment_of(arrangement, there.at)
    # A card that has no other scan goes as a whole, its hole with it, so that nothing moves.
    if part.sides not in SLIPPING or None in arrangement.pairs[there.at].sides:
        return with_side(arrangement, there.at, there.side, None)
    tokens, place = scans_in_turn(arrangement, part, there.at, there.side)
    return with_segment(arrangement, part, [*tokens[:place], *tokens[place + 1 :]])
