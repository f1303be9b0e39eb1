"""Numbers such as `1-2` that a spreadsheet turned into dates, where those that it left as they were
say how they were written."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.checklist.numbers_read import REMEDY, day_and_month, of_date, tidy_number
from tagger.core.model.text import printable

if TYPE_CHECKING:
    from tagger.core.checklist.plan import Plan
    from tagger.core.checklist.planning.cells import Columns

_LEFT = re.compile(r"([0-9]{1,3})([-/])([0-9]{1,3})")
_FEWEST = 2  # numbers that were left
_FEWEST_ALL = 4  # and together with the dates
_LEAST_LEAD = 0.05  # of the likelier order over the other
_LEAD_OF_DATES = 0.5  # where no number was left
# the last of a number that was too large for a day: `1/40` becomes the first of January 1940
_OF_YEAR = "{{month}}{}{{year}}"
_ORDERS = ("{{month}}{}{{day}}", "{{day}}{}{{month}}", _OF_YEAR)

Pair = tuple[int, int]


class Likely(NamedTuple):
    """What speaks for an order, each as a share of all numbers: those that rise, those that are
    the very next (`1-2` behind `1-1`), those whose part before or behind the mark is there as
    well in a number that was left."""

    rising: float
    next: float
    before: float
    behind: float


def dated_numbers(plan: Plan, columns: Columns) -> Plan:
    """The plan that reads dates in the column of numbers as `1-2`, where the numbers that are none
    tell whether the day or the month stood first; told."""
    for at in plan.at("number"):
        cells = [*map(tidy_number, _of_cards(columns, at))]
        if order := _order(cells):
            dates = [*filter(_is_date, cells)]
            name, cell = printable(plan.names[at], 40), printable(dates[0], 20)
            read = _as(order, dates[0])
            cells_are = "1 cell is" if len(dates) == 1 else f"{len(dates)} cells are"
            said = f"'{name}': {cells_are} a date ('{cell}'), read as {read}; {REMEDY}"
            return replace(plan, dated=order, unsure=(*plan.unsure, said))
    return plan


def _of_cards(columns: Columns, at: int) -> list[str]:
    """The filled cells of a column that do not stand alone on their lines, as headings do."""
    others = [cells for place, cells in enumerate(columns) if place != at]
    return [cell for row, cell in enumerate(columns[at]) if cell and any(c[row] for c in others)]


def _as(order: str, cell: str) -> str:
    return of_date(cell, order)


def _order(cells: Sequence[str]) -> str:
    """How the dates among some numbers were written; empty where nothing tells."""
    left = [match for match in map(_LEFT.fullmatch, cells) if match]
    dates = sum(map(_is_date, cells))
    mark = _mark_of(left)
    if not dates or not mark or dates + len(left) < max(len(cells), _FEWEST_ALL):
        return ""
    beside = _parts(left, 1), _parts(left, 3)
    orders = [order.format(mark) for order in _ORDERS if order != _OF_YEAR or _are_firsts(cells)]
    weights = {order: _likely(cells, order, beside) for order in orders}
    return _best_of(weights, len(left), len(beside[1]) == 1)


def _best_of(weights: Mapping[str, Likely], left: int, counted: bool) -> str:
    """The order that is clearly likelier than the others; empty for none. `counted`: whether one
    and the same count of all cards stands behind each number that was `left`."""
    best, other, *_ = sorted(weights, key=lambda order: sum(weights[order]), reverse=True)
    if counted and weights[best].behind == 1 > weights[other].behind:
        return best
    return best if _tells(weights[best], weights[other], left) else ""


def _are_firsts(cells: Sequence[str]) -> bool:
    """Whether all dates are the first day of a month, with a year."""
    return all(
        day_and_month(cell)[0] == 1 and cell[:4].isdigit() for cell in filter(_is_date, cells)
    )


def _mark_of(left: Sequence[re.Match[str]]) -> str:
    """The mark in all numbers that were left; empty where they have two."""
    mark, *others = {match[2] for match in left} or {"-"}
    return "" if others else mark


def _parts(left: Sequence[re.Match[str]], group: int) -> set[int]:
    return {int(match[group]) for match in left}


def _is_date(cell: str) -> bool:
    return day_and_month(cell)[0] > 0


def _tells(best: Likely, other: Likely, left: int) -> bool:
    """Whether one order is clearly likelier; where all numbers are dates, only those that rise
    without a break tell."""
    lead = sum(best) - sum(other)
    if left < _FEWEST:
        return best.rising == 1 and (other.rising < 1 or lead >= _LEAD_OF_DATES)
    return lead >= _LEAST_LEAD


def _pair(cell: str, order: str) -> Pair:
    if _is_date(cell):
        cell = _as(order, cell)
    match = _LEFT.fullmatch(cell)
    assert match is not None
    return int(match[1]), int(match[3])


def _likely(cells: Sequence[str], order: str, beside: tuple[set[int], set[int]]) -> Likely:
    """How well numbers in an order go on from one to the next, and are of those before and behind
    the mark elsewhere."""
    pairs = [_pair(cell, order) for cell in cells]
    steps = max(len(pairs) - 1, 1)
    before, behind = beside
    return Likely(
        sum(one < two for one, two in pairwise(pairs)) / steps,
        sum(two == (one[0], one[1] + 1) for one, two in pairwise(pairs)) / steps,
        sum(one in before for one, _ in pairs) / len(pairs),
        sum(two in behind for _, two in pairs) / len(pairs),
    )
