"""Finishes behind the conditions of copies: `Near Mint Foil`, as shops export them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from tagger.core.checklist.headings.meaning import heading_words
from tagger.core.checklist.named.grades import finish_behind_grade, is_graded
from tagger.core.checklist.planning.cells import Columns, share, unknown
from tagger.core.model.text import printable

if TYPE_CHECKING:
    from tagger.core.checklist.plan import Plan

_CONDITIONS = frozenset(
    ["condition", "cond", "grade", "zustand", "erhaltung", "etat", "estado", "condizione", "stato",
     "conservazione", "conditie", "staat", "qualitat", "状態"]
)  # fmt: skip


def finishes_graded(plan: Plan, columns: Columns) -> Plan:
    """The plan with the column of conditions that have finishes behind them, where no column has
    the parallels and some card stands on a line with its finish and on one without; else it is told
    that there are finishes."""
    if plan.has("parallels"):
        return plan
    for at, name in unknown(plan, columns):
        if _CONDITIONS.isdisjoint(heading_words(name)) or not _have_finishes(columns[at]):
            continue
        said = f"'{printable(name, 40)}' has finishes behind conditions"
        if _tell_apart(plan, columns, at):
            return replace(plan, graded=at, notes=(*plan.notes, f"{said}: the parallels"))
        return replace(plan, unsure=(*plan.unsure, f"{said}; they are only kept"))
    return plan


def _tell_apart(plan: Plan, columns: Columns, at: int) -> bool:
    """Whether a card stands on a line with a finish and on one without."""
    keys = [*plan.at("set"), *plan.at("number"), *plan.subject_columns]
    found: dict[tuple[str, ...], set[bool]] = {}
    for row, cell in enumerate(columns[at]):
        card = tuple(columns[key][row] for key in keys)
        found.setdefault(card, set()).add(bool(finish_behind_grade(cell)))
    return any(len(both) > 1 for both in found.values())


def _have_finishes(cells: Sequence[str]) -> bool:
    return share(cells, is_graded) >= 0.8 and any(map(finish_behind_grade, cells))
