"""A column called `Set` that tells parts of the one set apart that the title or the file names."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from tagger.core.checklist.headings.meaning import heading_words, says_series
from tagger.core.checklist.planning.blocks import filled_blocks
from tagger.core.checklist.planning.cells import meant
from tagger.core.checklist.raw.base_set import is_base_set
from tagger.core.checklist.raw.purposes import is_place, is_purpose
from tagger.core.checklist.raw.years import has_year
from tagger.core.checklist.titles import is_part_of_set
from tagger.core.model.text import printable

if TYPE_CHECKING:
    from tagger.core.checklist.plan import Plan


def with_parts(plan: Plan, rows: Sequence[Sequence[str]], called: str) -> Plan:
    """A column called `Set` tells parts of the set apart that the title or the file names, where
    its own names have no year and one of them is that of a part; one that names the base set, or
    is called `Series`, does so in any case."""
    if plan.has("year") or not plan.has("set") or plan.has("series"):
        return plan
    at = plan.at("set")[0]
    cells = {row[at].strip() for row in rows} - {""}
    if any(map(has_year, cells)) or not _are_parts(cells, plan, rows, called):
        return plan
    names, shown = plan.names, printable(plan.names[at], 40)
    said = f"'{shown}' names parts of {printable(called, 60)}, so it is read as the subset"
    plan = replace(meant(plan, at, "series"), unsure=(*plan.unsure, said))
    # a subset is that of the cards below as well only where it stands in blocks
    columns = [[row[place].strip() for row in rows] for place in range(len(names))]
    return filled_blocks(plan, columns)


def _are_parts(cells: set[str], plan: Plan, rows: Sequence[Sequence[str]], called: str) -> bool:
    """Whether the names of sets in a column are those of parts."""
    if any(map(is_base_set, cells)) or (has_year(called) and _names_parts(cells, plan, rows)):
        return True
    if not says_series(plan.names[plan.at("set")[0]]) or len(cells) < 2:
        return False
    # a few cards of several sets may have numbers of their own each, but not one behind the other
    at = plan.at("set")[0]
    return _names_product(called) or (_go_on(plan, rows, at) and _are_dense(plan, rows, at))


def _names_product(called: str) -> bool:
    """Whether a title or the name of a file is that of a product with its year, and not of what
    its maker has: `Stock 2024`."""
    words = [word for word in heading_words(called) if word.isalpha()]
    kept = [word for word in words if not is_place(word) and not is_purpose(word)]
    return has_year(called) and len(kept) > 1 and len(kept) == len(words)


def _names_parts(cells: set[str], plan: Plan, rows: Sequence[Sequence[str]]) -> bool:
    goes_on = len(cells) > 1 and _go_on(plan, rows, plan.at("set")[0])
    return goes_on or any(map(is_part_of_set, cells))


def _go_on(plan: Plan, rows: Sequence[Sequence[str]], at: int) -> bool:
    """Whether numbers go on from one cell of a column to the next, and begin anew in none."""
    numbers = plan.at("number")
    if len(numbers) != 1 or plan.set_first:
        return False
    said = [row[numbers[0]].strip() for row in _cards(rows, at, numbers[0])]
    whole = len(said) >= _FEWEST_CARDS and all(map(str.isdigit, said))
    return whole and len(set(said)) == len(said)


def _are_dense(plan: Plan, rows: Sequence[Sequence[str]], at: int) -> bool:
    """Whether the numbers of cards rise from the first to the last, and hardly any is left out."""
    number = plan.at("number")[0]
    said = [int(row[number]) for row in _cards(rows, at, number)]
    return said == sorted(said) and said[-1] - said[0] < _LEFT_OUT * len(said)


def _cards(rows: Sequence[Sequence[str]], at: int, number: int) -> list[Sequence[str]]:
    """The rows with something in a column; all with a number where that is named once a block."""
    named = [row for row in rows if row[at].strip()]
    if named and named[0] is rows[0] and 2 * len(named) <= len(rows):
        return [row for row in rows if row[number].strip()]
    return named


_FEWEST_CARDS = 6
_LEFT_OUT = 1.2  # times as many numbers as cards, at most
