"""A card as the hub has it, and back: `doc` is what `tagger export` writes of it, with its price
and who says so; `rest` is what of its mark that does not say, empty fields left out."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import TYPE_CHECKING, Any

from tagger.core.lot.cells import plain
from tagger.core.lot.fields import COLUMNS, CardInLot, Field, reader
from tagger.core.model.column_names import PRICE
from tagger.core.model.money import list_price
from tagger.core.model.tags import Mark, State
from tagger.store.lot.documents import mark_document

if TYPE_CHECKING:
    from tagger.core.model.tags import Extra, Tags

Document = dict[str, Any]
Columns = Callable[["Tags"], "Iterable[Extra]"]
"""The further columns of a card's row in its checklists, those to be asked first in front."""

SAID_BY = "price by"  # in doc: whose price it is
YOURS, LIST = "yours", "list"
_READERS = [(name, reader(Field(name))) for name in COLUMNS]
_TEXTS = ("set", "number", "subject", "team", "parallel", "serial", "condition", "place", "note")
# what doc says already
_OF_DOC = frozenset({*_TEXTS, "extra", "own_price"})


def as_tagged(tags: Tags) -> Iterable[Extra]:
    """The further columns as they were when the card was tagged."""
    return (tags.extra,)


def hub_documents(card: CardInLot, columns: Columns = as_tagged) -> tuple[Document, Document]:
    """(doc, rest) of a card. All text in them can be kept by the database."""
    doc: Document = {name: read(card) for name, read in _READERS}
    tags = card.mark.tags
    if card.mark.state is not State.UNTAGGED:
        price, by = _price(tags, columns)
        if price:
            doc |= {PRICE: plain(price), SAID_BY: by}
    return doc, _rest(card.mark, doc)


def _rest(mark: Mark, doc: Document) -> Document:
    # most cards: asked for a hundred thousand of them
    if mark.tags.listed and mark == Mark(State.TAGGED, mark.tags):
        return {"running": mark.running} if mark.running else {}
    document = mark_document(mark)
    rest = {name: value for name, value in document.items() if name not in _OF_DOC}
    if rest["state"] == State.TAGGED:
        del rest["state"]
    if doc["note"] != mark.tags.note:
        rest["note"] = mark.tags.note
    found: Document = _kept(rest)
    return found


def _price(tags: Tags, columns: Columns) -> tuple[str, str]:
    if tags.price:
        return tags.price, YOURS
    asked = (list_price(extra, tags.parallel)[0] for extra in columns(tags))
    return next(filter(None, asked), ""), LIST


def _kept(value: Any) -> Any:
    """The same with every text as the database can hold it: it knows neither NUL nor half of a
    pair of surrogates."""
    if isinstance(value, str):
        return plain(value)
    if isinstance(value, dict):
        return {name: _kept(one) for name, one in value.items()}
    return value


def card_document(doc: Mapping[str, Any], rest: Mapping[str, Any]) -> Document:
    """A card as `lot.json` has it, of what the hub has of it."""
    found = {name: doc[name] for name in (*_TEXTS, "front", "back") if doc.get(name)}
    if price := doc.get(PRICE, ""):
        if doc.get(SAID_BY) == YOURS:
            found["own_price"] = price
        else:
            found["extra"] = [[PRICE, price]]
    return {**found, "state": str(State.TAGGED), **rest}
