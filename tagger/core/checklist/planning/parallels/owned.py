"""Columns of parallels whose ticks say what the list's owner has, and not what there is."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from tagger.core.checklist.headings.meaning import ONE_PARALLEL
from tagger.core.checklist.named.finishes import is_finish
from tagger.core.checklist.parallels import are_ticks, is_plain
from tagger.core.checklist.planning.cells import Columns, given, meant
from tagger.core.checklist.raw.purposes import says_owned
from tagger.core.model.text import printable

if TYPE_CHECKING:
    from tagger.core.checklist.plan import Plan

# `x = got it`, `✓: in my binder`, `an x means that I have it`
_LEGEND = re.compile(
    r"^\W*?(?:(?:an?|ein|une?|un[ao]?|een)\s+)?['\"“(\[]?(?:x{1,2}|[✓✔☑✗✘•*+oyj]|yes|ja|oui|s[ií])"
    r"['\"”)\]]?\s*(?:=|:|[–—-]\s|\b(?:means?|marks?|indicates?|is|for|bedeutet|heißt|steht für|"
    r"signifie|veut dire|significa|vuol dire|betekent)\b)\s*(?P<said>[^=]+)$",
    re.IGNORECASE,
)


def with_owned(plan: Plan, columns: Columns, remarks: Iterable[str]) -> Plan:
    """The plan that says which ticks below parallels are the owner's: one of the remarks around
    the cards says so, or some card has none, not even as the plain one. There is each of these
    parallels of each card then."""
    ticked = [
        at for at in plan.at(ONE_PARALLEL) if at not in plan.priced and are_ticks(columns[at])
    ]
    by_remark = any(map(_says_owned, remarks))
    if not ticked or not (by_remark or _has_card_without(plan, columns)):
        return plan
    bare = [at for at, name in enumerate(plan.names) if _is_bare(plan, at, name, columns[at])]
    names = ", ".join(f"'{printable(plan.names[at], 40)}'" for at in (*ticked, *bare))
    said = f"ticks below {names} are read as what the owner has: each card has each of these"
    for at in bare:
        plan = meant(plan, at, ONE_PARALLEL)
    plan = replace(plan, owned=frozenset((*ticked, *bare)))
    if by_remark:
        return replace(plan, notes=(*plan.notes, said))
    said = f"{said}; if they say what there is, leave out the column of the plain card"
    return replace(plan, unsure=(*plan.unsure, said))


def _says_owned(remark: str) -> bool:
    match = _LEGEND.match(remark)
    return match is not None and says_owned(match["said"])


def _has_card_without(plan: Plan, columns: Columns) -> bool:
    """Whether a column is of the plain card, and some card has no tick in it nor in any other:
    there would be no such card at all."""
    keys = [*plan.at("number"), *plan.subject_columns]
    plain = [at for at, name in enumerate(plan.names) if name and is_plain(name)]
    plain = [at for at in plain if are_ticks(columns[at])]
    cards = [row for row in range(len(columns[0])) if any(columns[at][row] for at in keys)]
    forms = (*plain, *plan.at(ONE_PARALLEL))
    return bool(plain) and any(not any(columns[at][row] for at in forms) for row in cards)


def _is_bare(plan: Plan, at: int, name: str, cells: Sequence[str]) -> bool:
    """Whether a column is called by a parallel of which the owner has none at all."""
    return not plan.meanings[at] and is_finish(name) and not given(cells)
