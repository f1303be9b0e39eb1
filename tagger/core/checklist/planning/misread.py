"""Columns whose cells are not what their headings say: ticks, counts, titles, signs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tagger.core.checklist.headings.meaning import heading_key
from tagger.core.checklist.named.finishes import is_finish
from tagger.core.checklist.parallels import are_ticks
from tagger.core.checklist.planning.cells import Columns, given, meant, share
from tagger.core.checklist.raw.prices import is_plain_amount
from tagger.core.model.column_names import PRICE
from tagger.core.model.text import whole_number

if TYPE_CHECKING:
    from tagger.core.checklist.plan import Plan

_IN_WORDS = ("set", "year", "maker", "series", "team", "subject", "alias", "number")


def ticked(plan: Plan, columns: Columns) -> Plan:
    """A column `Album` of ticks says which cards its owner has, and nothing of these."""
    for at, meaning in enumerate(plan.meanings):
        if meaning in _IN_WORDS and are_ticks(columns[at]) and any(map(_is_sure, columns[at])):
            plan = meant(plan, at, "")
    return plan


def counted(plan: Plan, columns: Columns) -> Plan:
    """A column `Foil` of numbers has counts, prices or print runs, and no names of parallels."""
    for at in plan.at("parallels"):
        some = given(columns[at])
        if some and all(map(is_plain_amount, some)) and is_finish(plan.names[at]):
            plan = meant(plan, at, "")
    return plan


def _is_sure(tick: str) -> bool:
    # a set or a team may be called `S`
    return tick in ("x", "X") or len(tick) > 1 or (tick != "" and not tick.isalpha())


def without_amounts(plan: Plan, columns: Columns) -> Plan:
    """A column `Book` of titles, or of the binders in which cards are one after the other, has no
    prices."""
    for at in plan.at(PRICE):
        some = given(columns[at])
        whole = [n for n in map(whole_number, some) if n is not None]
        is_binder = heading_key(plan.names[at]) == "book" and whole == sorted(whole)
        is_binder = is_binder and len(whole) == len(some)
        if some and (is_binder or share(some, _has_digit) < 0.5):
            plan = meant(plan, at, "")
    return plan


def without_signs(plan: Plan, columns: Columns) -> Plan:
    """A column `Stars` of signs without a letter has no names, if another one may have them."""
    for at in plan.at("subject"):
        others = [n for n, meaning in enumerate(plan.meanings) if not meaning]
        are_signs = bool(given(columns[at])) and not any(map(_has_letter, columns[at]))
        if are_signs and any(share(columns[n], _has_letter) > 0.9 for n in others):
            plan = meant(plan, at, "")
    return plan


def _has_letter(cell: str) -> bool:
    return any(map(str.isalpha, cell))


def _has_digit(cell: str) -> bool:
    return any(map(str.isdigit, cell))
