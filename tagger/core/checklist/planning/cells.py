"""The cells of a column, counted."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from itertools import product
from typing import TYPE_CHECKING

from tagger.core.checklist.headings.meaning import heading_key

if TYPE_CHECKING:
    from tagger.core.checklist.plan import Plan

Columns = Sequence[Sequence[str]]
"""The cells of each column, stripped."""


def given(cells: Sequence[str]) -> list[str]:
    """The cells with something in them."""
    return [cell for cell in cells if cell]


def share(cells: Sequence[str], test: Callable[[str], object]) -> float:
    """The share of the filled cells that pass a test, 0 where none is filled."""
    some = given(cells)
    if not some:
        return 0.0
    return sum(1 for cell in some if test(cell)) / len(some)


def meant(plan: Plan, at: int, meaning: str, note: str = "") -> Plan:
    """The plan with another meaning of one column."""
    meanings = (*plan.meanings[:at], meaning, *plan.meanings[at + 1 :])
    return replace(plan, meanings=meanings, notes=(*plan.notes, *filter(None, [note])))


def alike(plans: Sequence[Plan]) -> list[Plan]:
    """The plans of tables side by side: a column that means something in one of them by its cells
    means that in those with the same headings as well."""
    made = list(plans)
    for one, other in product(range(len(plans)), plans):
        if _keys(plans[one]) != _keys(other):
            continue
        for at, meaning in enumerate(other.meanings):
            if meaning and not made[one].meanings[at] and not made[one].has(meaning):
                made[one] = meant(made[one], at, meaning)
    return made


def _keys(plan: Plan) -> list[str]:
    return [heading_key(name).rstrip("0123456789") for name in plan.names if name]


def unknown(plan: Plan, columns: Columns) -> Iterator[tuple[int, str]]:
    """The columns that mean nothing and have something in them, with their headings."""
    for at, name in enumerate(plan.names):
        if name and not plan.meanings[at] and given(columns[at]):
            yield at, name
