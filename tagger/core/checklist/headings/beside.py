"""What the columns of a table mean beside each other: each meaning once, and what one heading says
of another."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tagger.core.checklist.headings.meaning import (
    FURTHER,
    NO_MORE,
    NUMBERED,
    ONE_PARALLEL,
    heading_key,
    heading_words,
    meaning_of,
)
from tagger.core.model.column_names import SERIES

_SERIES = frozenset(map(heading_key, SERIES))
# meanings that several columns may have
_SEVERAL = frozenset(["series", "parallels", ONE_PARALLEL, FURTHER])


def columns_of(names: Sequence[str], more: Mapping[str, str] = NO_MORE) -> list[str]:
    """What each column means, each meaning once but for series, parallels and columns that are
    numbered; empty for a further column. A `series` beside another name of the set tells cards of
    the set apart."""
    meant = [meaning_of(name, more) for name in names]
    for meaning in dict.fromkeys(meaning for meaning, _ in meant):
        if meaning and meaning not in _SEVERAL:
            _only_likeliest(names, meant, meaning)
    found = ["" if meaning == FURTHER else meaning for meaning, _ in meant]
    return _with_nickname(names, _with_both_names(names, _with_product(names, found)))


def _with_nickname(names: Sequence[str], found: list[str]) -> list[str]:
    """What columns mean, `Nickname` right behind `City` the team where nothing else is."""
    keys = list(map(heading_key, names))
    at = keys.index("nickname") if keys.count("nickname") == 1 else 0
    if at == 0 or keys[at - 1] != "city" or "team" in found:
        return found
    return [*found[: at - 1], "", "team", *found[at + 1 :]]


def _with_both_names(names: Sequence[str], found: list[str]) -> list[str]:
    """What columns mean, `Name` beside `First name` the last one, `Nome` beside `Cognome` the
    first."""
    if "subject" not in found or ("first" in found) == ("last" in found):
        return found
    at = found.index("subject")
    if "first" in found:
        return [*found[:at], "last", *found[at + 1 :]]
    if heading_key(names[at]) in _FIRST_BESIDE_LAST:
        return [*found[:at], "first", *found[at + 1 :]]
    return found


# what the first name is called beside the last one, and the whole one where it stands alone
_FIRST_BESIDE_LAST = frozenset(["nome", "nombre", "jmeno", "meno", "ime", "имя"])


def _with_product(names: Sequence[str], found: list[str]) -> list[str]:
    """What columns mean, `Product Name` beside the name of the set the subject where nothing else
    is."""
    products = [at for at, name in enumerate(names) if heading_key(name) == "productname"]
    if len(products) != 1 or found[products[0]] or "set" not in found:
        return found
    if {"subject", "last"} & set(found):
        return found
    return [*found[: products[0]], "subject", *found[products[0] + 1 :]]


def _only_likeliest(names: Sequence[str], meant: list[tuple[str, int]], meaning: str) -> None:
    """Leave the meaning to one column: the others tell series apart, or are only kept."""
    at = [place for place, (each, _) in enumerate(meant) if each == meaning]
    if meaning in NUMBERED and _are_numbered([names[place] for place in at]):
        return  # `Player 1`, `Player 2`
    best = min(at, key=lambda place: meant[place][1])
    for place in at:
        if place != best:
            tells_apart = meaning == "set" and heading_key(names[place]) in _SERIES
            meant[place] = ("series" if tells_apart else "", 0)


def _are_numbered(names: Sequence[str]) -> bool:
    """Whether some headings are one, with a number behind all but the first."""
    words = [heading_words(name) for name in names]
    bare = [" ".join(some[:-1] if some and some[-1].isdigit() else some) for some in words]
    numbered = [one for one in words[1:] if one and one[-1].isdigit()]
    return len(set(bare)) == 1 and len(numbered) == len(names) - 1
