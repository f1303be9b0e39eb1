"""Numbers such as `1-2` that a spreadsheet turned into dates, where those that it left as they were
say how they were written."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

from tagger.core.checklist.numbers_read import REMEDY, day_and_month, tidy_number
from tagger.core.checklist.planning.cells import Columns, given
from tagger.core.model.text import printable

if TYPE_CHECKING:
    from tagger.core.checklist.plan import Plan

_LEFT = re.compile(r"([0-9]{1,3})([-/])([0-9]{1,3})")
_FEWEST = 2  # numbers that were left
_FEWEST_ALL = 4  # and together with the dates
_LEAST_LEAD = 0.05  # of the likelier order over the other
_ORDERS = ("{{month}}{}{{day}}", "{{day}}{}{{month}}")

Pair = tuple[int, int]


def dated_numbers(plan: Plan, columns: Columns) -> Plan:
    """The plan that reads dates in the column of numbers as `1-2`, where the numbers that are none
    tell whether the day or the month stood first; told."""
    for at in plan.at("number"):
        cells = [*map(tidy_number, given(columns[at]))]
        if order := _order(cells):
            dates = [*filter(_is_date, cells)]
            name, cell = printable(plan.names[at], 40), printable(dates[0], 20)
            read = _as(order, dates[0])
            cells_are = "1 cell is" if len(dates) == 1 else f"{len(dates)} cells are"
            said = f"'{name}': {cells_are} a date ('{cell}'), read as {read}; {REMEDY}"
            return replace(plan, dated=order, unsure=(*plan.unsure, said))
    return plan


def _as(order: str, cell: str) -> str:
    day, month = day_and_month(cell)
    return order.format(day=day, month=month)


def _order(cells: Sequence[str]) -> str:
    """How the dates among some numbers were written; empty where nothing tells."""
    left = [match for match in map(_LEFT.fullmatch, cells) if match]
    dates = sum(map(_is_date, cells))
    mark, *others = {match[2] for match in left} or {"-"}
    if not dates or others or dates + len(left) < max(len(cells), _FEWEST_ALL):
        return ""
    behind = {int(match[3]) for match in left}
    weights = {_likely(cells, order.format(mark), behind): order.format(mark) for order in _ORDERS}
    return weights[max(weights)] if _tells([*weights], len(left)) else ""


def _is_date(cell: str) -> bool:
    return day_and_month(cell)[0] > 0


def _tells(weights: Sequence[float], left: int) -> bool:
    """Whether one order is clearly likelier; where all numbers are dates, only those that go on
    without a break tell."""
    if left < _FEWEST:
        return len(weights) > 1 and max(weights) == 1
    return max(weights) - min(weights) >= _LEAST_LEAD


def _pair(cell: str, order: str) -> Pair:
    if _is_date(cell):
        cell = _as(order, cell)
    match = _LEFT.fullmatch(cell)
    assert match is not None
    return int(match[1]), int(match[3])


def _likely(cells: Sequence[str], order: str, behind: set[int]) -> float:
    """How well numbers in an order go on from one to the next, and are of those behind the mark
    elsewhere."""
    pairs = [_pair(cell, order) for cell in cells]
    rising = sum(one < two for one, two in pairwise(pairs)) / max(len(pairs) - 1, 1)
    return rising + sum(two in behind for _, two in pairs) / len(pairs)
