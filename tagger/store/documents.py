"""Values of the trade as JSON documents and back. Empty fields are left out of a document."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from tagger.core.model import Arrangement, Carried, Desk, Mark, Pair, SideOrder, State, Tags

Document = dict[str, Any]

_TEXTS = ("set", "number", "subject", "team", "parallel", "serial", "condition", "place", "note")
CARD_FIELDS = frozenset({"front", "back", "state", "reason", "listed", "extra", *_TEXTS})


def mark_document(mark: Mark) -> Document:
    """A mark as one flat document."""
    tags = mark.tags
    document: Document = {"state": str(mark.state)}
    for name in _TEXTS:
        if value := getattr(tags, name):
            document[name] = value
    if not tags.listed:
        document["listed"] = False
    if tags.extra:
        document["extra"] = [list(pair) for pair in tags.extra]
    if mark.reason:
        document["reason"] = mark.reason
    return document


def read_mark(document: Mapping[str, Any]) -> Mark:
    """A mark from its document. Raises ValueError where a field has the wrong kind of value."""
    texts = {name: _text(document.get(name, ""), name) for name in _TEXTS}
    extra = tuple((_text(name, "extra"), _text(value, "extra")) for name, value in document.get("extra", ()))
    tags = Tags(**texts, listed=bool(document.get("listed", True)), extra=extra)
    return Mark(State(document.get("state", State.UNTAGGED)), tags, _text(document.get("reason", ""), "reason"))


def desk_document(desk: Desk) -> Document:
    """Position and carried tags."""
    return {"position": desk.position, "carried": [list(pair) for pair in desk.carried.pairs]}


def read_desk(document: Mapping[str, Any]) -> Desk:
    """Position and carried tags from their document."""
    pairs = tuple((_text(name, "carried"), _text(value, "carried")) for name, value in document.get("carried", ()))
    return Desk(int(document.get("position", 1)), Carried(pairs))


def arrangement_document(arrangement: Arrangement) -> Document:
    """Which scans make which card."""
    return {"sides": str(arrangement.sides), "pairs": [list(pair) for pair in arrangement.pairs]}


def read_arrangement(document: Mapping[str, Any]) -> Arrangement:
    """Which scans make which card, from its document."""
    pairs = tuple(Pair(int(id), _side(front), _side(back)) for id, front, back in document["pairs"])
    return Arrangement(SideOrder(document["sides"]), pairs)


def _side(value: object) -> str | None:
    return None if value is None else _text(value, "scan")


def _text(value: object, field: str) -> str:
    if not isinstance(value, str):
        raise ValueError(f"{field} is no text")
    return value
