"""Whether a list was read as it was meant: right, told, or wrong in silence."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import product
from types import SimpleNamespace
from typing import Any, NamedTuple

from tagger.core.checklist.checklist import Checklist
from tagger.core.model.tags import series_of
from tagger.core.model.text import fold


class Verdict(NamedTuple):
    """`right`: each card as it was meant, and no other; `told`: the summary says that something is
    odd; `why`: the first difference."""

    right: bool
    told: bool
    why: str


def verdict(found: Checklist, one: Any) -> Verdict:
    """A checklist held against the cards that the file means; where it is damaged, saying so is
    part of it."""
    rows = {_key(row.set, row.number, row.subject): row for row in found.rows}
    cards, extra = [_chosen(card, rows) for card in one.cards], one.extra
    wanted = {_key(card.set, card.number, card.subject): card for card in cards}
    why = ""
    for key in wanted.keys() | rows.keys():
        if key not in rows or key not in wanted:
            near = next((k for k in rows if k[1] == key[1]), None)
            why = f"{'missing' if key in wanted else 'not meant'}: {key}; there is {near}"
            break
        if why := _differs(rows[key], wanted[key]):
            break
    if not why and len(found.rows) != len(cards):
        why = "another count"
    if not why:
        why = _extra_differs(found, extra)
    if not why and one.damaged and not found.problems:
        why = "the damage is not told"
    return Verdict(not why, bool(found.problems), why)


def _chosen(card: Any, rows: Mapping[tuple[str, ...], Any]) -> Any:
    """Of a card that may be read in several ways, each right, the way that it was read in."""
    texts = (card.set, card.number, card.subject, card.team)
    if "|" not in "".join(texts):
        return card
    ways = list(product(*(text.split("|") for text in texts)))
    fit = [way for way in ways if _key(*way[:3]) in rows]
    teams = {fold(rows[_key(*way[:3])].team) for way in fit}
    way = next((way for way in fit if fold(way[3]) in teams), ways[0])
    named = dict(zip(("set", "number", "subject", "team"), way, strict=True))
    return SimpleNamespace(**named, parallels=card.parallels, series=card.series)


def _key(*parts: str) -> tuple[str, ...]:
    return tuple(" ".join(part.split()) for part in parts)


def _differs(row: Any, card: Any) -> str:
    if fold(row.team) != fold(card.team):
        return f"team of #{row.number}: {row.team!r} for {card.team!r}"
    if set(row.parallels) != set(card.parallels):
        return f"parallels of #{row.number}: {row.parallels} for {card.parallels}"
    series = series_of(row.extra)
    if card.series and series != card.series:
        return f"series of #{row.number}: {series!r} for {card.series!r}"
    return ""


def _extra_differs(found: Checklist, extra: Mapping[tuple[str, str], str]) -> str:
    held = {
        (row.number, fold(name)): value for row in found.rows for name, value in row.extra if value
    }
    for key, value in extra.items():
        if held.get(key, "") != value:
            return f"further column {key}: {held.get(key)!r} for {value!r}"
    return ""
