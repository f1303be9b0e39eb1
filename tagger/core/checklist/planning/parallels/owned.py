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
from tagger.core.checklist.raw.print_runs import split_run
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
    the cards says so, or the cells show it. There is each of these parallels of each card then,
    but where a cell says that there is none."""
    ticked = _ticked(plan, columns)
    by_remark = any(map(_says_owned, remarks))
    bare = [at for at, name in enumerate(plan.names) if _is_bare(plan, at, name, columns[at])]
    if not ticked or not (by_remark or _show_owned(plan, columns, [*ticked, *bare])):
        return plan
    owned = sorted((*ticked, *bare))
    names = ", ".join(f"'{printable(plan.names[at], 40)}'" for at in owned)
    said = f"ticks below {names} are read as what the owner has: each card has each of these"
    for at in bare:
        plan = meant(plan, at, ONE_PARALLEL)
    plan = replace(plan, owned=frozenset(owned))
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


def _show_owned(plan: Plan, columns: Columns, ticked: Sequence[int]) -> bool:
    """Whether a column is of the plain card, and ticks are the owner's for one of three reasons."""
    plain = [at for at, name in enumerate(plan.names) if _is_of_plain(name, columns[at])]
    return bool(plain) and (
        _has_card_without(plan, columns, plain)
        or _has_gaps(plan, columns, plain, ticked)
        or _are_told_missing(columns, ticked)
    )


def _has_gaps(plan: Plan, columns: Columns, plain: Sequence[int], ticked: Sequence[int]) -> bool:
    """Whether not all cards are ticked as the plain one, which there is of each where the others
    are numbered."""
    numbered = sum(split_run(plan.names[at])[1] > 0 for at in ticked)
    few = any(len(given(columns[at])) < _NEARLY_ALL * len(columns[at]) for at in plain)
    return numbered > 1 and few


_NEARLY_ALL = 0.9


def _are_told_missing(columns: Columns, ticked: Sequence[int]) -> bool:
    """Whether a word says of some cards that there is none, so that empty cells do not."""
    cells = {fold(cell) for at in ticked for cell in columns[at]}
    return "" in cells and not cells.isdisjoint(_NO_SUCH_CARD)


_NO_SUCH_CARD = frozenset(["n/a", "na", "none", "無", "なし"])


def _has_card_without(plan: Plan, columns: Columns, plain: Sequence[int]) -> bool:
    """Whether some card has no tick as the plain one nor in any other column: there would be no
    such card at all."""
    forms = (*plain, *plan.at(ONE_PARALLEL))
    keys = (*plan.at("number"), *plan.subject_columns)
    cards = (row for row in range(len(columns[0])) if _has_any(columns, keys, row))
    return not all(_has_any(columns, forms, row) for row in cards)


def _is_of_plain(name: str, cells: Sequence[str]) -> bool:
    return name != "" and is_plain(name) and are_ticks(cells)


def _has_any(columns: Columns, at: Sequence[int], row: int) -> bool:
    return any(columns[place][row] for place in at)


def _is_bare(plan: Plan, at: int, name: str, cells: Sequence[str]) -> bool:
    """Whether a column is called by a parallel of which the owner has none at all."""
    none = set(map(fold, given(cells))) <= NOT_THERE
    return not plan.meanings[at] and is_finish(name) and none
