"""Columns with something of the cards in them that no card gets: told, so that nothing is lost in
silence."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

from tagger.core.checklist.headings.meaning import (
    heading_key,
    heading_words,
    meaning_of,
    says_no_team,
    shown_meaning,
)
from tagger.core.checklist.headings.paid import says_paid
from tagger.core.checklist.named.finishes import is_finish
from tagger.core.checklist.named.money_words import says_money
from tagger.core.checklist.parallels import are_ticks
from tagger.core.checklist.plan import UNNAMED
from tagger.core.checklist.planning.cells import Columns, given, meant, share, unknown
from tagger.core.checklist.raw.prices import is_plain_amount
from tagger.core.checklist.raw.print_runs import run_of_copy
from tagger.core.model.column_names import PRICE
from tagger.core.model.numbers import canonical
from tagger.core.model.text import printable

if TYPE_CHECKING:
    from tagger.core.checklist.plan import Plan

_CENTS = re.compile(r"[.,][0-9]{1,2}$")
_BREAK = re.compile(r"\S\s+[^\v\n]*\S\s*[\v\n]\s*[^\s(]\S*\s+\S")  # two names, and no broken one
_NEEDED = frozenset(["number", "subject", "team", "set", "parallels", "run"])


def only_kept(name: str, why: str, meaning: str) -> str:
    """That a column is only kept, and how to say that it is more."""
    shown = printable(name, 40)
    return f"'{shown}' {why}; it is only kept (if it is so: --columns '{shown}={meaning}')"


def prices_left(plan: Plan, columns: Columns) -> Iterator[str]:
    """Columns of money, by their headings or by each cell, where none is known as the price."""
    if plan.has(PRICE):
        return
    for at, name in unknown(plan, columns):
        is_money = says_money(name) or share(columns[at], says_money) == 1
        if (is_money or _are_amounts(columns[at])) and not says_paid(name):
            yield only_kept(name, "may hold the price", PRICE)


# a count times what one is worth
_SUMS = frozenset(["total", "totals", "sum", "subtotal", "gesamt", "summe", "somme", "totaal"])


def says_sum(name: str) -> bool:
    """Whether a heading says that what stands below it is a count times a price."""
    return not _SUMS.isdisjoint(heading_words(name))


def _are_amounts(cells: Sequence[str]) -> bool:
    some = given(cells)
    plain = share(some, is_plain_amount) == 1
    # `0.5` among `1` and `12` is money as well; years, counts and grades have no cents
    return plain and sum(_CENTS.search(cell) is not None for cell in some) * 3 >= len(some)


def headings_left(plan: Plan, columns: Columns) -> Iterator[str]:
    """Columns that are called by what no column is read as, since their cells do not look so."""
    for at, name in unknown(plan, columns):
        meaning = meaning_of(name)[0]
        if share(columns[at], run_of_copy) >= 0.8:
            continue  # serial numbers of copies, which say nothing without parallels
        known = plan.has(meaning) or _is_made_of_others(plan, meaning) or are_ticks(columns[at])
        if meaning in _NEEDED and not known:
            said = shown_meaning(meaning)
            yield only_kept(name, f"is called like the {said}, but its cells are not", said)


def _is_made_of_others(plan: Plan, meaning: str) -> bool:
    return {"subject": plan.has_subject, "number": plan.has_number}.get(meaning, False)


def unnamed_texts(plan: Plan, columns: Columns) -> Iterator[str]:
    """Columns of words that have no heading."""
    for at, name in unknown(plan, columns):
        some = given(columns[at])
        words = share(columns[at], lambda cell: any(map(str.isalpha, cell[1:])))
        if UNNAMED.fullmatch(name) and words >= 0.5 and _is_told_apart(some, len(columns[at])):
            yield f"'{name}' has no heading; it is only kept"


def _is_told_apart(cells: Sequence[str], lines: int) -> bool:
    """Whether the cells of a column say something of most cards, and not the same of all."""
    return len(cells) * 2 > lines and len(set(cells)) > 2


_NAME = re.compile(r"[^\W\d_a-z][\w.'’&-]*(?:\s+[\w.'’&-]+)+")


def only_ones(plan: Plan, columns: Columns) -> Plan:
    """The plan in which the one column whose cells look like a team, or a price, is that, where no
    heading says which is; told."""
    for meaning, look in (("team", _may_be_team), (PRICE, _may_be_price)):
        found = [at for at, name in unknown(plan, columns) if look(name, columns[at])]
        if len(found) == 1 and not plan.has(meaning) and not (meaning == "team" and plan.team):
            name = printable(plan.names[found[0]], 40)
            said = f"'{name}' is not known as a heading; by its cells it is the {meaning}"
            plan = replace(meant(plan, found[0], meaning), unsure=(*plan.unsure, said))
    return plan


_CITIES = frozenset(["city", "town", "location", "stadt", "ville", "ciudad", "citta", "stad"])


def cities_of_teams(plan: Plan, columns: Columns) -> Plan:
    """The plan in which `City` right before the team has the first words of its name: several, each
    team in one."""
    at = plan.at("team")[0] - 1 if len(plan.at("team")) == 1 else -1
    if at < 0 or plan.meanings[at] or _CITIES.isdisjoint(heading_words(plan.names[at])):
        return plan
    # a nickname without its city may be that of two teams
    nick = heading_key(plan.names[at + 1]) == "nickname"
    if not nick and not _begin_names(columns[at], columns[at + 1]):
        return plan
    note = f"'{printable(plan.names[at], 40)}' has the first words of the teams"
    return replace(plan, city=at, notes=(*plan.notes, note))


def _begin_names(cities: Sequence[str], teams: Sequence[str]) -> bool:
    """Whether there are several cities, each team is of one of them, and none is called by it."""
    pairs = {pair for pair in zip(cities, teams, strict=True) if all(pair)}
    if not all(cities) or any(team.startswith(city) for city, team in pairs):
        return False
    return len(set(cities)) > 1 and len(pairs) <= len(set(teams))


def set_by_numbers(plan: Plan, columns: Columns) -> Plan:
    """The plan in which the one column with a word for sets in its heading, as `Set Code`, is the
    set, where it tells cards of one number apart; told."""
    numbers = plan.at("number")
    if plan.has("set") or len(numbers) != 1:
        return plan
    found = [
        at
        for at, name in unknown(plan, columns)
        if any(meaning_of(word)[0] == "set" for word in heading_words(name))
        and _tells_apart(columns[at], columns[numbers[0]])
    ]
    if len(found) != 1:
        return plan
    said = f"'{printable(plan.names[found[0]], 40)}' is read as the set: numbers repeat without it"
    return replace(meant(plan, found[0], "set"), unsure=(*plan.unsure, said))


_NO_SET = frozenset(
    ["sport", "league", "liga", "sprache", "language", "condition", "zustand", "status", "owner",
     "seller", "grader", "grade", "country", "format", "size", "box", "binder", "page", "row",
     "location", "lagerort", "currency", "category", "type", "rarity", "brand", "owned", "sold",
     "publisher", "artist", "illustrator", "element", "colour", "color", "class", "klasse"]
)  # fmt: skip


def set_by_blocks(plan: Plan, columns: Columns) -> Plan:
    """The plan in which the first column that is full, and whose few names go on for many lines
    each, is the set, beside the year where no column is the set; told."""
    if plan.has("set") or not (plan.has("year") and plan.has("number")):
        return plan
    for at, name in unknown(plan, columns):
        if says_no_team(name) or not _NO_SET.isdisjoint(heading_words(name)):
            continue
        if _goes_on(columns[at]):
            said = f"'{printable(name, 40)}' is not known as a heading; by its cells it is the set"
            return replace(meant(plan, at, "set"), unsure=(*plan.unsure, said))
    return plan


def _goes_on(cells: Sequence[str]) -> bool:
    """Whether all of some cells have a name, and one follows the same one mostly."""
    changes = sum(one != two for one, two in pairwise(cells))
    named = all(any(map(str.isalpha, cell)) and len(cell) < 60 for cell in cells)
    return len(cells) > 5 and named and changes * 5 <= len(cells)


def _tells_apart(cells: Sequence[str], numbers: Sequence[str]) -> bool:
    """Whether many numbers come again, and hardly any in rows with the same of these cells."""
    pairs = list(zip(cells, map(canonical, numbers), strict=True))
    again = len({number for _, number in pairs}) * 10 <= len(pairs) * 9
    return again and all(cells) and len(set(pairs)) * 100 >= len(pairs) * 98


def _may_be_price(name: str, cells: Sequence[str]) -> bool:
    return _are_amounts(cells) and not (says_paid(name) or is_finish(name) or says_sum(name))


def teams_left(plan: Plan, columns: Columns) -> Iterator[str]:
    """Columns of names that come again, where none is known as the team."""
    if plan.has("team") or plan.team:
        return
    for at, name in unknown(plan, columns):
        if _may_be_team(name, columns[at]):
            yield only_kept(name, "may hold the team", "team")
        elif _has_names(name, columns[at]):
            yield f"'{printable(name, 40)}' has names in it; it is only kept"


def _has_names(name: str, cells: Sequence[str]) -> bool:
    """Whether cells have names beside other things: `12.00 | Harbor Gulls`."""
    named = share(cells, lambda cell: _NAME.search(cell) and any(map(str.isdigit, cell))) >= 0.8
    return named and len(set(given(cells))) > 2 and not says_no_team(name)


def _may_be_team(name: str, cells: Sequence[str]) -> bool:
    some = given(cells)
    comes_again = 2 < len(set(some)) <= len(some) * 0.7
    if not comes_again or share(some, _NAME.fullmatch) < 0.7:
        return False
    return not (says_no_team(name) or meaning_of(name)[0])


def aliases_again(plan: Plan, columns: Columns) -> Iterator[str]:
    """Columns of other names that are the same for many cards, as teams are."""
    for at in plan.at("alias"):
        some = given(columns[at])
        if len(some) > 5 and len(set(some)) * 2 <= len(some) and not plan.has("team"):
            shown = printable(plan.names[at], 40)
            yield f"'{shown}' is read as other names of the subjects, but many cards share one"


_GENERATIONS = frozenset(["jr", "sr", "ii", "iii", "iv", "jnr", "snr"])


def name_ends(plan: Plan, columns: Columns) -> Iterator[str]:
    """Columns of what stands behind names: `Jr.`."""
    for at, name in unknown(plan, columns):
        if share(columns[at], lambda cell: cell.casefold().strip(".") in _GENERATIONS) == 1:
            yield f"'{printable(name, 40)}' holds ends of names (Jr.); it is only kept"


def broken_names(plan: Plan, columns: Columns) -> Iterator[str]:
    """Cells of subjects with several lines: names, or what stands beside one."""
    for at in plan.subject_columns:
        if hit := [cell for cell in columns[at] if _BREAK.search(cell)]:
            cells = "1 cell has" if len(hit) == 1 else f"{len(hit)} cells have"
            shown, cell = printable(plan.names[at], 40), printable(" ".join(hit[0].split()), 40)
            yield f"'{shown}': {cells} several lines, read as one name ('{cell}')"
