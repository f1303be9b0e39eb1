"""A small table of counts beside the list: sets and how many cards each has."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from tagger.core.checklist.planning.cells import Columns, given
from tagger.core.checklist.raw.years import is_year
from tagger.core.model.text import printable

if TYPE_CHECKING:
    from tagger.core.checklist.plan import Plan

_OF_THE_LIST = frozenset(["set", "year", "maker"])


def summary_beside(plan: Plan, columns: Columns) -> Plan:
    """Names of sets with counts behind an empty column, in a few of the rows, say nothing of the
    cards in these rows; that is told."""
    gap = _gap(plan, columns)
    if not gap or not {"subject", "last"} & set(plan.meanings[:gap]):
        return plan
    behind = range(gap + 1, len(plan.names))
    if not _are_counts_of_sets(plan, columns, behind):
        return plan
    kept = ("" if at in behind else meaning for at, meaning in enumerate(plan.meanings))
    names = ", ".join(f"'{printable(plan.names[at], 40)}'" for at in behind if plan.names[at])
    said = f"{names} stand apart from the list, with counts; they say nothing of the cards beside"
    return replace(plan, meanings=tuple(kept), unsure=(*plan.unsure, said))


def _gap(plan: Plan, columns: Columns) -> int:
    """The last empty column without a heading that parts others, 0 where none does."""
    empty = (at for at, name in enumerate(plan.names) if not name and not given(columns[at]))
    return max((at for at in empty if any(plan.names[at + 1 :])), default=0)


def _are_counts_of_sets(plan: Plan, columns: Columns, some: Sequence[int]) -> bool:
    named = [at for at in some if plan.meanings[at] in _OF_THE_LIST]
    # a year beside a set, merged over all rows, is filled in as few of them
    counts = [at for at in some if given(columns[at]) and all(map(_is_count, given(columns[at])))]
    if not named or not counts:
        return False
    rows = {_filled_rows(columns[at]) for at in (named[0], counts[0])}
    return len(rows) == 1 and len(rows.pop()) * 2 < len(columns[0])


def _is_count(cell: str) -> bool:
    return cell.isdigit() and not is_year(cell)


def _filled_rows(cells: Sequence[str]) -> tuple[int, ...]:
    return tuple(row for row, cell in enumerate(cells) if cell)
