"""Cards as objects of JSON: in a list, one a line, or within objects that say what their set is."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence

from tagger.core.checklist.above.facts import facts_of

_HEAD = 1000  # characters


def objects_as_rows(text: str) -> str:
    """Objects with the same keys as lines of cells; the same text where it is something else."""
    if text[:_HEAD].lstrip("\ufeff \n\r\t")[:1] not in ("{", "["):
        return text
    try:
        objects = list(_cards_in(_loaded(text), {}))
    except (ValueError, RecursionError):
        return text
    if len(objects) < 2:
        return text
    keys = list(dict.fromkeys(key for one in objects for key in one))
    rows: list[Sequence[object]] = [keys, *_values(objects, keys)]
    return "\n".join("\t".join(map(_cell, row)) for row in rows)


def _loaded(text: str) -> object:
    """The value that a text is, or the list of those that its lines are."""
    try:
        return json.loads(text)
    except ValueError:
        return list(map(json.loads, _lines(text)))


def _cards_in(found: object, facts: Mapping[str, object]) -> Iterator[dict[str, object]]:
    """The innermost objects that stand in lists, each with the facts of a set that those around it
    say; a list of anything else has none."""
    if isinstance(found, list):
        objects = [one for one in found if isinstance(one, dict)]
        if len(objects) == len(found):
            yield from (card for one in objects for card in _cards_of(one, facts))
    elif isinstance(found, dict):
        own = {**facts, **_facts_in(found)}
        for value in found.values():
            yield from _cards_in(value, own)


def _cards_of(one: dict[str, object], facts: Mapping[str, object]) -> Iterator[dict[str, object]]:
    """An object of a list as a card, or the cards in the lists that it holds."""
    if any(map(_has_objects, one.values())):
        yield from _cards_in(one, facts)
    else:
        yield {**facts, **one}


def _has_objects(value: object) -> bool:
    return isinstance(value, list) and any(isinstance(one, dict) for one in value)


def _facts_in(found: Mapping[str, object]) -> dict[str, object]:
    """What an object that holds a list of cards says of their set."""
    pairs = [[key, str(value)] for key, value in found.items() if isinstance(value, str | int)]
    return {label: value for pair in pairs for label, value in facts_of(pair).items()}


def _values(objects: Iterable[Mapping[str, object]], keys: Sequence[str]) -> Iterator[list[object]]:
    for one in objects:
        yield [one.get(key) for key in keys]


def _lines(text: str) -> list[str]:
    return [line.strip().rstrip(",") for line in text.split("\n") if line.strip()]


def _cell(value: object) -> str:
    return "" if value is None else " ".join(str(value).split())
