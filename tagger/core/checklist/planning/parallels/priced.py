"""Columns of what each parallel of a card costs, called by these: `Gold $`, `Frost` of `2.50`."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from itertools import chain
from typing import TYPE_CHECKING

from tagger.core.checklist.headings.meaning import ONE_PARALLEL, priced_parallel
from tagger.core.checklist.headings.paid import says_paid
from tagger.core.checklist.named.finishes import is_finish
from tagger.core.checklist.named.money_words import says_money
from tagger.core.checklist.parallels import (
    NOT_THERE,
    is_plain,
)
from tagger.core.checklist.planning.cells import Columns, given, meant, share, unknown
from tagger.core.checklist.planning.parallels.other_marks import is_other_mark
from tagger.core.checklist.raw.notes import is_total
from tagger.core.checklist.raw.prices import is_amount, price_said
from tagger.core.checklist.raw.print_runs import split_run
from tagger.core.model.column_names import PRICE
from tagger.core.model.money import amount
from tagger.core.model.text import fold

if TYPE_CHECKING:
    from tagger.core.checklist.plan import Plan

_DECIMAL = re.compile(r"[0-9]{1,6}(?:[.,][0-9]{1,2})?")


def priced_columns(plan: Plan, columns: Columns) -> Plan:
    """Columns of amounts that are called by a parallel have its prices; beside these one that is
    called by the base card has that of the card."""
    money = _money(plan, columns)
    base = [at for at in money if _is_of_base(plan.names[at])]
    named = _priced_parallels(plan, money, base)
    if not named:
        return replace(plan, priced=_named_by_user(plan, columns))
    if base and not plan.has(PRICE):
        plan = meant(plan, base[0], PRICE)
    only_priced = plan.has("parallels")
    for at in named:
        if not only_priced and not _is_said_elsewhere(plan, at):
            plan = meant(plan, at, ONE_PARALLEL)
    return replace(plan, priced=frozenset(named))


def _money(plan: Plan, columns: Columns) -> list[int]:
    """The unknown columns of amounts."""
    some = [at for at, name in unknown(plan, columns) if _are_amounts(name, columns[at])]
    halves = _with_halves(plan, columns)
    # `13.75` is an amount by itself, and `55.0` only beside it
    if set(some) < set(halves):
        return halves
    return some or halves or _above_their_runs(plan, columns)


def _named_by_user(plan: Plan, columns: Columns) -> frozenset[int]:
    """The columns of amounts that the user said to be parallels."""
    said = plan.at(ONE_PARALLEL)
    return frozenset(at for at in said if _are_amounts(plan.names[at], columns[at]))


def _priced_parallels(plan: Plan, money: Sequence[int], base: Sequence[int]) -> list[int]:
    """Those of the columns of amounts that are called by a parallel, or stand between that of the
    base card and one that is."""
    names = {at: plan.names[at] for at in money if not _is_of_base(plan.names[at])}
    called = [at for at, name in names.items() if is_finish(priced_parallel(name))]
    return [
        at
        for at, name in names.items()
        if at in called
        or (base and (_is_beside_base(name) or base[0] < at < max(called, default=0)))
    ]


def _is_of_base(name: str) -> bool:
    return is_plain(split_run(priced_parallel(name))[0])


def _is_beside_base(name: str) -> bool:
    """Whether `Frost $` beside `Base $` names a parallel with its price."""
    parallel = priced_parallel(name)
    asks = says_money(name) and parallel != name and not is_total([parallel])
    return asks and not _is_of_base(name) and not says_paid(name)


def _with_halves(plan: Plan, columns: Columns) -> list[int]:
    """The columns called by parallels, or by the base card, of numbers such as `2.5` and `40.0`, as
    programs write amounts: of print runs none would be a fraction. Numbers without one, `40`, are
    amounts where the base card has such a column as well."""
    found = _decimal_columns(plan, columns)
    cells = [*chain(*(given(columns[at]) for at in found))]
    parted = [*filter(_has_fraction, cells)]
    beside_base = len(found) > 1 and any(is_plain(plan.names[at]) for at in found)
    # beside the price of the card what has a fraction here and there is one as well
    least = len(cells) / 4 if plan.has(PRICE) else len(cells)
    is_enough = beside_base or len(parted) >= least
    return found if is_enough and any(map(_has_digit_behind, parted)) else []


def _decimal_columns(plan: Plan, columns: Columns) -> list[int]:
    """The columns of decimals that are called by parallels or by the base card, and what stands
    between those where there is one of the base card: `Regular`, `Frost`, `Gold /50`."""
    some = [at for at, _ in unknown(plan, columns) if _are_decimal(columns[at])]
    plain = [at for at in some if is_plain(plan.names[at])]
    found = [at for at in some if at in plain or _is_called_by_finish(plan.names[at])]
    if not plain:
        return found
    return [at for at in some if found[0] <= at <= found[-1] and _may_be_between(plan, at)]


def _is_called_by_finish(name: str) -> bool:
    return is_finish(name) and not is_other_mark(name)


def _has_digit_behind(cell: str) -> bool:
    """Whether a number has a fraction other than zeros."""
    return cell.rstrip("0")[-1:].isdigit()


def _are_decimal(cells: Sequence[str]) -> bool:
    """Whether all cells but those that say that there is none are numbers of an amount."""
    some = [cell for cell in given(cells) if fold(cell) not in NOT_THERE]
    return bool(some) and all(map(_DECIMAL.fullmatch, some))


def _may_be_between(plan: Plan, at: int) -> bool:
    return is_plain(plan.names[at]) or not is_other_mark(plan.names[at])


def _has_fraction(cell: str) -> bool:
    return "." in cell or "," in cell


def _above_their_runs(plan: Plan, columns: Columns) -> list[int]:
    """Columns `Red /25` of whole numbers, of which some are more than there are copies: what these
    cost."""
    runs = {at: split_run(name)[1] for at, name in enumerate(plan.names) if not plan.meanings[at]}
    some = {at: given(columns[at]) for at, run in runs.items() if run}
    numbers = {at: [int(cell) for cell in cells] for at, cells in some.items() if _are_whole(cells)}
    above = any(max(cells) > runs[at] for at, cells in numbers.items())
    return list(numbers) if above else []


def _are_whole(cells: Sequence[str]) -> bool:
    return bool(cells) and all(cell.isdecimal() and len(cell) < 7 for cell in cells)


def _is_said_elsewhere(plan: Plan, at: int) -> bool:
    """Whether another column says which cards have the parallel that one has the prices of."""
    name = fold(split_run(priced_parallel(plan.names[at]))[0])
    others = (each for place, each in enumerate(plan.names) if place != at)
    return name in (fold(split_run(each)[0]) for each in others)


def _are_amounts(name: str, cells: Sequence[str]) -> bool:
    some = [cell for cell in map(price_said, given(cells)) if fold(cell) not in NOT_THERE]
    named = priced_parallel(name)
    asks = says_money(name) or (named != name and is_finish(named))
    if not some or (asks and all(amount(cell) is not None for cell in some)):
        return bool(some)
    return share(some, is_amount) >= 0.8
