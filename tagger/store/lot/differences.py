"""What another hand changed in a `lot.json`, in sentences."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from tagger.core.model.text import printable

if TYPE_CHECKING:
    from tagger.store.lot.memory_tables import Tables

_NONE = object()
# written by the program at each checkpoint, so that they differ without another hand
_OF_THE_PROGRAM = ("journal", "saved", "format", "lot")


def differences(kept: Tables, other: Tables) -> tuple[str, ...]:
    """What the other tables say otherwise, a sentence each; what the program itself notes there is
    passed over."""
    positions = _positions(kept)
    found: list[str] = []
    for name in sorted({*kept, *other}):
        ours, theirs = kept.get(name, {}), other.get(name, {})
        for id in _ids(name, {*ours, *theirs}):
            what = _called(name, id, positions)
            found.extend(_differing(what, ours.get(id, _NONE), theirs.get(id, _NONE)))
    own, their = (_said_of_the_lot(tables) for tables in (kept, other))
    return (*found, *(f"lot: {text}" for text in _fields(own, their)))


def _positions(tables: Tables) -> dict[str, int]:
    """Where each card stands in the lot, from 1, by its document's id."""
    order = tables.get("state", {}).get("1", {}).get("order", [])
    return {str(int(id)): position for position, id in enumerate(order, start=1)}


def _called(table: str, id: str, positions: Mapping[str, int]) -> str:
    """What a document is called: a card by its position, as the dealer knows it."""
    if table == "cards" and id in positions:
        return f"card {positions[id]}"
    # another hand may have put in tables and documents of any name
    return f"{printable(table, 40)} {printable(id, 20)}"


def _ids(table: str, ids: set[str]) -> list[str]:
    """Documents of a table as they are told, by number; that of the lot itself comes last."""
    if table == "state":
        ids = ids - {"1"}
    # Of two numbers the shorter one is the smaller; another hand's ids need not be numbers at all.
    return sorted(ids, key=lambda id: (len(id), id))


def _differing(what: str, ours: object, theirs: object) -> Iterator[str]:
    if theirs is _NONE:
        yield f"{what} is missing"
    elif ours is _NONE:
        yield f"{what} is new"
    else:
        yield from (f"{what}: {text}" for text in _fields(ours, theirs))


def _said_of_the_lot(tables: Tables) -> dict[str, Any]:
    document = tables.get("state", {}).get("1", {})
    return {name: value for name, value in document.items() if name not in _OF_THE_PROGRAM}


def _fields(ours: object, theirs: object) -> list[str]:
    if isinstance(ours, dict) and isinstance(theirs, dict):
        names = [name for name in {**ours, **theirs} if ours.get(name) != theirs.get(name)]
        return [
            f"{printable(name, 40)} is {_short(theirs.get(name))}, was {_short(ours.get(name))}"
            for name in names
        ]
    return [] if ours == theirs else ["is not a document"]


def _short(value: object) -> str:
    return "nothing" if value is None else printable(json.dumps(value, ensure_ascii=False), 60)
