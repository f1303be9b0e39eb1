"""Cards as objects of JSON or elements of XML: in a list, one a line, or within objects that say
what their set is."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from xml.etree import ElementTree

from tagger.core.checklist.above.facts import facts_of
from tagger.core.checklist.headings.meaning import meaning_of
from tagger.core.checklist.numbers_read import is_number_like
from tagger.core.checklist.raw.web.tables import is_page
from tagger.core.checklist.raw.years import has_year

_HEAD = 1000  # characters
_LARGEST_XML = 1 << 24  # characters
# what the thing that an object is goes by within it
_OWN = frozenset(["name", "title", "label", "value", "text", "fullname", "full_name"])


_OF_PAGES = frozenset(["html", "body", "div", "p", "ul", "ol", "section", "article", "main"])


def objects_as_rows(text: str) -> str:
    """Objects with the same keys as lines of cells; the same text where it is something else."""
    begins = text[:_HEAD].lstrip("\ufeff \n\r\t")[:1]
    try:
        if begins == "<":
            found: object = _of_elements(text)
        elif begins in ("{", "["):
            found = _loaded(text)
        else:
            return text
        cards = list(_cards_in(found, {}))
    except (ValueError, RecursionError, ElementTree.ParseError):
        return text
    if len(cards) < 2:
        return text
    keys = list(dict.fromkeys(key for one in cards for key in one))
    rows: list[Sequence[object]] = [keys, *_values(cards, keys)]
    return "\n".join("\t".join(map(_cell, row)) for row in rows)


def _loaded(text: str) -> object:
    """The value that a text is, or the list of those that its lines are."""
    try:
        found = json.loads(text)
    except ValueError:
        return list(map(json.loads, _lines(text)))
    return _as_objects(found) if _is_grid(found) else found


def _is_grid(found: object) -> bool:
    """Whether a value is a list of lines of cells, the first of which has the names."""
    return (
        isinstance(found, list)
        and len(found) > 2
        and all(isinstance(row, list) and len(row) == len(found[0]) for row in found)
        and all(isinstance(name, str) for name in found[0])
    )


def _as_objects(grid: list[list[object]]) -> object:
    names = [str(name) for name in grid[0]]
    return [dict(zip(names, row, strict=True)) for row in grid[1:]]


def _of_elements(text: str) -> object:
    """The elements of XML as objects: attributes and what stands within by their names. Raises
    ValueError where a text is none, or declares what it is to be read by."""
    if len(text) > _LARGEST_XML or "<!" in text.replace("<!--", "") or is_page(text):
        raise ValueError
    root = ElementTree.fromstring(text.lstrip("\ufeff \n\r\t").encode())
    if root.tag.casefold() in _OF_PAGES:
        raise ValueError
    return _of_element(root)


def _of_element(element: ElementTree.Element) -> object:
    own = (element.text or "").strip()
    if not len(element) and not element.attrib:
        return own
    found: dict[str, object] = {**element.attrib}
    for child in element:
        value = _of_element(child)
        before = found.get(child.tag)
        if before is None and isinstance(value, str):
            found[child.tag] = value
        else:
            several = before if isinstance(before, list) else [] if before is None else [before]
            found[child.tag] = [*several, value]
    if own:
        found.setdefault("name", own)
    return found


def _cards_in(found: object, facts: Mapping[str, object]) -> Iterator[dict[str, object]]:
    """The innermost objects that stand in lists, each with the facts of a set that those around it
    say; a list of anything else has none."""
    if isinstance(found, list):
        objects = [one for one in found if isinstance(one, dict)]
        if len(objects) == len(found):
            yield from (card for one in objects for card in _cards_of(one, facts))
    elif isinstance(found, dict):
        yield from _cards_within(found, facts)


def _cards_within(
    found: Mapping[str, object], facts: Mapping[str, object]
) -> Iterator[dict[str, object]]:
    """The cards in one object, by their numbers or in the lists that it holds."""
    if _is_numbered(found):
        yield from ({**facts, "number": key, "subject": value} for key, value in found.items())
        return
    own = {**facts, **_facts_in(found)}
    for key, value in found.items():
        named = {"set": key} if has_year(key) and not own.get("set") else {}
        yield from _cards_in(value, {**own, **named})


def _is_numbered(found: Mapping[str, object]) -> bool:
    """Whether an object has names by their numbers: `"23": "Ada Marsh"`."""
    are_names = all(isinstance(value, str) for value in found.values())
    return len(found) > 1 and are_names and all(map(is_number_like, found))


def _cards_of(one: dict[str, object], facts: Mapping[str, object]) -> Iterator[dict[str, object]]:
    """An object of a list as a card, or the cards in the lists that it holds."""
    inner = [each for value in one.values() for each in _objects_in(value)]
    # of objects within each other those with numbers are the cards
    if inner and (any(map(_has_number, inner)) or not _has_number(one)):
        yield from _cards_in(one, facts)
    else:
        yield {**facts, **_flat(one)}


def _objects_in(value: object) -> list[dict[str, object]]:
    return [one for one in value if isinstance(one, dict)] if isinstance(value, list) else []


def _has_number(one: Mapping[str, object]) -> bool:
    return any(meaning_of(key)[0] == "number" for key in _flat(one))


def _flat(one: Mapping[str, object]) -> dict[str, object]:
    """An object with what the objects and lists in it say in cells of its own."""
    made: dict[str, object] = {}
    for key, value in one.items():
        if isinstance(value, dict):
            for inner, said in _flat(value).items():
                made[_key(key, inner)] = said
        elif isinstance(value, list):
            made[key] = "; ".join(filter(None, map(_listed, value)))
        else:
            made[key] = value
    return made


def _key(outer: str, inner: str) -> str:
    if inner.casefold() in _OWN:
        return outer
    return inner if meaning_of(inner)[0] else f"{outer} {inner}"


def _listed(value: object) -> str:
    """One of a list as a text: a parallel with its print run."""
    if not isinstance(value, dict):
        return _cell(value)
    texts = [_cell(each) for each in value.values() if isinstance(each, str | int)]
    names = [text for text in texts if not text.lstrip("/").isdigit()]
    runs = [text.lstrip("/") for text in texts if text.lstrip("/").isdigit()]
    return " ".join([*names[:1], *(f"/{run}" for run in runs[:1])])


def _facts_in(found: Mapping[str, object]) -> dict[str, object]:
    """What an object that holds a list of cards says of their set."""
    nested = [one for one in found.values() if isinstance(one, dict) and not _is_numbered(one)]
    pairs = [pair for one in (found, *map(_flat, nested)) for pair in _plain_pairs(one)]
    return {label: value for pair in pairs for label, value in facts_of(pair).items()}


def _plain_pairs(found: Mapping[str, object]) -> list[list[str]]:
    return [[key, str(value)] for key, value in found.items() if isinstance(value, str | int)]


def _values(objects: Iterable[Mapping[str, object]], keys: Sequence[str]) -> Iterator[list[object]]:
    for one in objects:
        yield [one.get(key) for key in keys]


def _lines(text: str) -> list[str]:
    return [line.strip().rstrip(",") for line in text.split("\n") if line.strip()]


def _cell(value: object) -> str:
    return "" if value is None else " ".join(str(value).split())
