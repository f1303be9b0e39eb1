"""Columns of parallels whose ticks say what the list's owner has, and not what there is."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from tagger.core.checklist.headings.meaning import ONE_PARALLEL
from tagger.core.checklist.named.finishes import is_finish
from tagger.core.checklist.parallels import NOT_THERE, are_ticks, is_plain
from tagger.core.checklist.planning.cells import Columns, given, meant
from tagger.core.checklist.raw.purposes import says_owned
from tagger.core.model.text import fold, printable

if TYPE_CHECKING:
    from tagger.core.checklist.plan import Plan

# `x = got it`, `✓: in my binder`, `an x means that I have it`
_LEGEND = re.compile(
    r"^\W*?(?:(?:an?|ein|une?|un[ao]?|een)\s+)?['\"“(\[]?(?:x{1,2}|[✓✔☑✗✘•*+oyj1]|yes|ja|oui|"
    r"s[ií]|(?:green |red )?(?:ticks?|ticked|check ?marks?|checked|cross(?:es|ed)?|marked|bold|"
    r"haken|kreuz|angekreuzt|coch[ée]e?s?|croix|marcad[oa]s?|cruz|spuntat[oa]|aangekruist))"
    r"['\"”)\]]?\s*(?:=|:|[–—-]\s|\b(?:means?|marks?|indicates?|is|for|bedeutet|heißt|steht für|"
    r"signifie|veut dire|significa|vuol dire|betekent)\b)\s*(?P<said>[^=]+)$",
    re.IGNORECASE,
)


def with_owned(plan: Plan, columns: Columns, remarks: Iterable[str]) -> Plan:
    """The plan that says which ticks below parallels are the owner's: one of the remarks around
    the cards says so, or some card has none, not even as the plain one. There is each of these
    parallels of each card then."""
    ticked = _ticked(plan, columns)
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


def _ticked(plan: Plan, columns: Columns) -> list[int]:
    """The columns of parallels with nothing but ticks."""
    crossed = (at for at in plan.at(ONE_PARALLEL) if at not in plan.priced)
    return [at for at in crossed if are_ticks(columns[at])]


def _says_owned(remark: str) -> bool:
    matches = map(_LEGEND.match, _APART.split(remark))
    return any(match is not None and says_owned(match["said"]) for match in matches)


_APART = re.compile(r"[;|()\[\]/]|,\s|\s{2,}")  # `1987 Harbor Light (x = have, o = need)`


def _has_card_without(plan: Plan, columns: Columns) -> bool:
    """Whether a column is of the plain card, and some card has no tick in it nor in any other:
    there would be no such card at all."""
    plain = [at for at, name in enumerate(plan.names) if _is_of_plain(name, columns[at])]
    forms = (*plain, *plan.at(ONE_PARALLEL))
    keys = (*plan.at("number"), *plan.subject_columns)
    cards = (row for row in range(len(columns[0])) if _has_any(columns, keys, row))
    return bool(plain) and not all(_has_any(columns, forms, row) for row in cards)


def _is_of_plain(name: str, cells: Sequence[str]) -> bool:
    return name != "" and is_plain(name) and are_ticks(cells)


def _has_any(columns: Columns, at: Sequence[int], row: int) -> bool:
    return any(columns[place][row] for place in at)


def _is_bare(plan: Plan, at: int, name: str, cells: Sequence[str]) -> bool:
    """Whether a column is called by a parallel of which the owner has none at all."""
    none = set(map(fold, given(cells))) <= NOT_THERE
    return not plan.meanings[at] and is_finish(name) and none
