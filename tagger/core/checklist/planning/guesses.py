"""Columns whose headings say nothing that is known: what their cells make likely, each told."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

from tagger.core.checklist.headings.meaning import heading_words, meaning_of, says_no_team
from tagger.core.checklist.numbers_read import damage, is_number_like
from tagger.core.checklist.planning.cells import Columns, given, meant, share
from tagger.core.checklist.raw.base_set import is_base_set
from tagger.core.checklist.raw.prices import is_amount
from tagger.core.checklist.raw.years import has_year
from tagger.core.checklist.titles import is_part_of_set
from tagger.core.model.text import printable

if TYPE_CHECKING:
    from tagger.core.checklist.plan import Plan

_MOST_PARTS = 40
_MISTAKES, _OF_CARDS = 2, 10  # numbers that stand twice by mistake, one of so many cards
_NAME = re.compile(r"[^\W\d_][\w.'’,-]*(?:\s+[\w.'’,/&()-]+)+")
# columns that hold no card's name or number, whatever stands in them
NEVER = frozenset(
    ["notes", "note", "comment", "comments", "condition", "grade", "location", "box", "row", "date",
     "source", "url", "image", "college", "city", "address", "seller", "buyer", "slot", "page",
     "count", "qty", "quantity", "menge", "anzahl", "position", "pos", "stock", "sku", "inventory",
     "cert", "barcode", "upc", "ean", "lot", "acc", "accession", "inv", "hp", "kp", "pv", "atk"]
)  # fmt: skip


_UNNAMED = re.compile(r"(?:column [0-9]+)?")  # as columns without a heading are called


def filled_columns(plan: Plan, columns: Columns) -> Plan:
    """The plan in which no empty column has a meaning that a filled one could have."""
    for at, meaning in enumerate(plan.meanings):
        if not meaning or given(columns[at]):
            continue
        others = [
            (len(set(columns[other])), -other)
            for other, name in enumerate(plan.names)
            if not plan.meanings[other] and meaning_of(name)[0] == meaning
        ]
        if max(others, default=(0, 0))[0] > 1:
            plan = meant(meant(plan, at, ""), -max(others)[1], meaning)
    return plan


def missing_subject(plan: Plan, columns: Columns) -> Plan:
    """The plan with a subject, where only the cells tell which column it is."""
    if plan.has_subject:
        return plan
    # a name comes again on the line of each parallel, as the number does
    cards = len(set(given(columns[plan.at("number")[0]]))) if plan.has("number") else 0
    named = _likeliest(plan, columns, "subject", _is_name, cards)
    return named if named.has_subject else _likeliest(plan, columns, "subject", _is_word, cards)


def missing_number(plan: Plan, columns: Columns) -> Plan:
    """The plan with a number, where only the cells tell which column it is."""
    if not plan.has_number and plan.has_subject:
        plan = _likeliest(plan, columns, "number", _may_be_number)
    return plan


def parts_before_numbers(plan: Plan, columns: Columns) -> Plan:
    """The plan with the subset, where a column without a name before the numbers has a few texts,
    each at the first card of a block: cells that were one."""
    at = plan.at("number")[0] - 1 if plan.has("number") else -1
    if at < 0 or plan.meanings[at] or not _UNNAMED.fullmatch(plan.names[at]) or plan.has("series"):
        return plan
    cells, some = columns[at], given(columns[at])
    if not _begin_blocks(cells, some) or any(map(str.isdigit, "".join(some))):
        return plan
    note = f"'{printable(some[0], 40)}' and what stands below it names subsets"
    return replace(meant(plan, at, "series"), notes=(*plan.notes, note))


def _begin_blocks(cells: Sequence[str], some: Sequence[str]) -> bool:
    """Whether the cells with something in them are few, each another, from the first one on."""
    if len(some) < 2 or not cells[0]:
        return False
    return len(set(some)) == len(some) and len(some) * 3 <= len(cells)


def parts_beside(plan: Plan, columns: Columns) -> Plan:
    """The plan with the subset, where one of two columns that names of sets are above has the years
    and the other has parts: `Release`, `Card Set`."""
    if plan.has("series") or not plan.has("set"):
        return plan
    with_years = plan.has("year") or share(columns[plan.at("set")[0]], has_year) >= 0.8
    for at, name in enumerate(plan.names):
        if not with_years or plan.meanings[at] or meaning_of(name)[0] != "set":
            continue
        if _are_parts(columns[at]) and any(map(is_part_of_set, set(given(columns[at])))):
            note = f"'{printable(name, 40)}' names parts of the sets beside it: the subset"
            return replace(meant(plan, at, "series"), notes=(*plan.notes, note))
    return plan


def parts_by_numbers(plan: Plan, columns: Columns) -> Plan:
    """The plan with the subset, where only an unknown column tells cards of one number apart."""
    if plan.has("series") or plan.has("parallels"):
        return plan
    if not (plan.has("number") and plan.has("subject")):
        return plan
    key = [*plan.at("year"), *plan.at("set"), plan.at("number")[0]]
    subject = plan.at("subject")[0]
    columns = _filled_down(plan, columns)
    if not _collide(columns, key, subject):
        return plan
    for at, name in enumerate(plan.names):
        # nor is it `Condition`
        unknown = bool(name) and not plan.meanings[at] and not says_no_team(name)
        if unknown and _are_parts(columns[at]) and not _collide(columns, [*key, at], subject):
            shown = printable(name, 40)
            said = f"'{shown}' tells cards of one number apart, so it is read as the subset"
            return replace(meant(plan, at, "series"), unsure=(*plan.unsure, said))
    return plan


def parts_in_blocks(plan: Plan, columns: Columns) -> Plan:
    """The plan with the subset, where a column without a known heading has the base set and other
    parts, of which none has a card of another, or where one that is called by a word for groups has
    them in blocks."""
    if plan.has("series") or not (plan.has("number") and plan.has_subject):
        return plan
    cards = [columns[at] for at in (plan.at("number")[0], plan.subject_columns[0])]
    for at, name in enumerate(plan.names):
        if not plan.meanings[at] and _names_parts(name, columns[at], *cards):
            note = f"'{printable(name, 40)}' names parts of the set: the subset"
            return replace(meant(plan, at, "series"), notes=(*plan.notes, note))
    return plan


def _names_parts(
    name: str, cells: Sequence[str], numbers: Sequence[str], subjects: Sequence[str]
) -> bool:
    """Whether a column has the base set and other parts, or is called by a word for groups."""
    if says_no_team(name) or not all(cells) or not _are_parts(cells):
        return False
    if any(map(is_base_set, cells)) and _part_cards(cells, numbers, subjects):
        return True
    is_group = not _GROUPS.isdisjoint(heading_words(name)) and min(map(len, cells)) > 1
    return is_group and _are_blocks(cells)


# what parts of a set are called that is no word for subsets (common practice, no source)
_GROUPS = frozenset(
    ["gruppe", "group", "groupe", "grupo", "gruppo", "groep", "chapter", "kapitel", "chapitre",
     "capitulo", "capitolo", "hoofdstuk", "theme", "thema", "tema", "program", "programme",
     "programm"]
)  # fmt: skip


def _part_cards(cells: Sequence[str], numbers: Sequence[str], subjects: Sequence[str]) -> bool:
    """Whether no card is there in two parts, as it is in two finishes, and parts come again."""
    once = len(set(zip(numbers, subjects, strict=True))) == len(
        set(zip(cells, numbers, subjects, strict=True))
    )
    return once and len(set(cells)) * 2 <= len(cells)


def _are_blocks(cells: Sequence[str]) -> bool:
    """Whether equal cells stand right below each other, and there are several of most."""
    blocks = 1 + sum(one != two for one, two in pairwise(cells))
    return blocks == len(set(cells)) and blocks * 2 <= len(cells)


def _filled_down(plan: Plan, columns: Columns) -> Columns:
    """The columns, those that are full in blocks with the cells below the first of each as that."""
    made = [list(cells) for cells in columns]
    for at in plan.fills:
        for row in range(1, len(made[at])):
            made[at][row] = made[at][row] or made[at][row - 1]
    return made


def _are_parts(cells: Sequence[str]) -> bool:
    some = set(given(cells))
    return 2 <= len(some) <= _MOST_PARTS and not any(map(str.isdigit, some))


def _collide(columns: Columns, key: Sequence[int], subject: int) -> bool:
    """Whether cards with other subjects agree in all cells of some columns; one or two of many may
    have a number by mistake."""
    held: dict[tuple[str, ...], str] = {}
    same = 0
    for row, name in enumerate(columns[subject]):
        cells = tuple(columns[at][row] for at in key)
        same += bool(name and cells[-1]) and held.setdefault(cells, name) != name
    return same > min(_MISTAKES, len(held) // _OF_CARDS)


def _may_be_number(cell: str) -> bool:
    return is_number_like(cell) and not is_amount(cell) and not damage(cell)


def _is_name(cell: str) -> bool:
    return _NAME.fullmatch(cell) is not None


def _is_word(cell: str) -> bool:
    return len(cell) > 2 and not any(map(str.isdigit, cell)) and cell[:1].isalpha()


def _likeliest(plan: Plan, columns: Columns, meaning: str, test: object, cards: int = 0) -> Plan:
    """The plan with the meaning for the unknown column whose cells pass a test and differ most; one
    whose heading has a word for it goes first. `cards`: how many there are, 0 where each line is
    one."""
    found = [
        (_says(plan.names[at], meaning), not _is_counter(columns[at]), len(set(columns[at])), -at)
        for at, known in enumerate(plan.meanings)
        if not known and plan.names[at] and _may_be(plan.names[at], columns[at], test, cards)
    ]
    if not found:
        return plan
    at = -max(found)[-1]
    said = f"'{printable(plan.names[at], 40)}' is not known as a heading; by its cells it is the"
    return replace(meant(plan, at, meaning), unsure=(*plan.unsure, f"{said} {meaning}"))


def _says(name: str, meaning: str) -> bool:
    return any(meaning_of(word)[0] == meaning for word in heading_words(name))


def _is_counter(cells: Sequence[str]) -> bool:
    """Whether some cells only count the lines: 1, 2, 3."""
    return list(cells) == [str(at) for at in range(1, len(cells) + 1)]


def _may_be(name: str, cells: Sequence[str], test: object, cards: int) -> bool:
    some = given(cells)
    if len(some) * 10 < len(cells) * 7 or len(set(some)) * 2 <= (cards or len(some)):
        return False
    return callable(test) and share(cells, test) >= 0.7 and NEVER.isdisjoint(heading_words(name))
