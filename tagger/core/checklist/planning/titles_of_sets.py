"""A column `Title` that has the set, beside another one that says what is on the cards."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

from tagger.core.checklist.headings.meaning import heading_key, meaning_of, says_series
from tagger.core.checklist.planning.cells import Columns, given, meant, unknown
from tagger.core.checklist.raw.years import has_year
from tagger.core.model.text import printable

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tagger.core.checklist.plan import Plan

# what sets and cards are both called by
_TITLES = frozenset(
    map(heading_key, ["title", "titles", "titel", "titre", "titulo", "titolo", "name", "nom",
                      "nombre", "nome", "naam", "item", "description", "product title"])
)  # fmt: skip


def titles_of_sets(plan: Plan, columns: Columns) -> Plan:
    """The plan in which `Title` is the set: it is the same for many cards on end, and another
    column, `Caption`, is called like the subject and says something else of nearly each; a column
    `Series` tells its parts then."""
    at = next((n for n in plan.at("subject") if _is_title(plan.names[n], columns[n])), -1)
    if at < 0 or len(plan.at("subject")) > 1:
        return plan
    other = next((n for n, name in unknown(plan, columns) if _is_subject(name, columns[n])), -1)
    if other < 0 or not all(_may_be_parts(plan, place, columns) for place in plan.at("set")):
        return plan
    for place in plan.at("set"):
        plan = meant(plan, place, "" if plan.has("series") else "series")
    name, subject = (printable(plan.names[n], 40) for n in (at, other))
    said = f"'{name}' is the same for many cards, so it is read as the set, and '{subject}' as the"
    plan = meant(meant(plan, at, "set"), other, "subject")
    return replace(plan, unsure=(*plan.unsure, f"{said} subject"))


def _may_be_parts(plan: Plan, at: int, columns: Columns) -> bool:
    return says_series(plan.names[at]) and not any(map(has_year, columns[at]))


def _is_title(name: str, cells: Sequence[str]) -> bool:
    return heading_key(name) in _TITLES and _goes_on(cells)


def _goes_on(cells: Sequence[str]) -> bool:
    """Whether each cell is filled, and mostly the same as the one above."""
    changes = 1 + sum(one != two for one, two in pairwise(cells))
    return len(cells) > 3 and all(cells) and changes * 3 <= len(cells)


def _is_subject(name: str, cells: Sequence[str]) -> bool:
    some = given(cells)
    tells_apart = len(set(some)) * 3 > len(some) and len(some) * 10 >= len(cells) * 8
    return meaning_of(name)[0] == "subject" and tells_apart
