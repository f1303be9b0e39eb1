"""The cards of a lot as rows of the hub's table."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.lot.fields import CardInLot
from tagger.store.hub.card_documents import Columns, hub_documents

if TYPE_CHECKING:
    from tagger.core.lot.view import LotView


def in_place(view: LotView, ids: Iterable[int] | None) -> list[int]:
    """The cards that are in their places, of some or, with None, of all."""
    some = (pair.id for pair in view.arrangement.pairs) if ids is None else ids
    return [id for id in some if not view.mark(id).gone]


def some_cards(view: LotView, ids: Iterable[int]) -> Iterator[CardInLot]:
    """Cards by their identities."""
    arrangement = view.arrangement
    for id in sorted(ids):
        # a card may be gone since from the arrangement
        if (position := arrangement.position_of(id)) is not None:
            yield CardInLot(position, arrangement.pairs[position - 1], view.mark(id), view.part)


class CardRow(NamedTuple):
    """A row of the table of cards, but for its lot."""

    id: int
    doc: str
    rest: str


def rows(cards: Iterable[CardInLot], columns: Columns) -> Iterator[CardRow]:
    """Rows of cards, one by one."""
    for card in cards:
        doc, rest = hub_documents(card, columns)
        yield CardRow(card.pair.id, _json(doc), _json(rest))


_json = json.JSONEncoder(ensure_ascii=False, separators=(",", ":")).encode
