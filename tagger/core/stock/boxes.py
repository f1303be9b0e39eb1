"""Boxes and rows that are renamed or merged: the places of cards, a part at a time."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from tagger.core.dividers.divider import payload_text, read_payload
from tagger.core.lot.fields import cards
from tagger.core.model.place import renamed_place
from tagger.core.model.tags import Marking, State

if TYPE_CHECKING:
    from tagger.core.lot.carried import Cursor
    from tagger.core.lot.view import LotView
    from tagger.core.model.arrangement import Arrangement, PlacedDivider


def moved_cards(lot: LotView, old: str, new: str) -> list[Marking]:
    """The changed marks of all cards that lie there, or lay there before they were sold."""
    found: list[Marking] = []
    for card in cards(lot):
        mark = card.mark
        place = (
            renamed_place(mark.tags.place, old, new) if mark.state is not State.UNTAGGED else None
        )
        # Cards that were sold move too: one that is returned goes to where its neighbours are now.
        if place is not None and place != mark.tags.place:
            after = replace(mark, tags=replace(mark.tags, place=place))
            found.append(Marking(card.pair.id, mark, after))
    return found


def moved_carried(cursor: Cursor, old: str, new: str) -> Cursor | None:
    """What is carried, where that is the place; None where it stays as it is."""
    after = cursor.carried.renamed("place", lambda place: renamed_place(place, old, new))
    return None if after == cursor.carried else replace(cursor, carried=after)


def moved_dividers(arrangement: Arrangement, old: str, new: str) -> Arrangement | None:
    """The dividers of a lot that name the place, as if they were printed with the new one; None
    where none does."""
    # Else what a divider carries would bring the old name back with the next card behind it.
    dividers = arrangement.mending.dividers
    after = tuple(_moved_divider(one, old, new) for one in dividers)
    if after == dividers:
        return None
    return replace(arrangement, mending=replace(arrangement.mending, dividers=after))


def _moved_divider(placed: PlacedDivider, old: str, new: str) -> PlacedDivider:
    payload = read_payload(placed.text)
    place = (
        renamed_place(payload.divider.place, old, new)
        if payload and payload.divider.place
        else None
    )
    if payload is None or place is None:
        return placed
    return placed._replace(text=payload_text(replace(payload.divider, place=place), payload.side))
