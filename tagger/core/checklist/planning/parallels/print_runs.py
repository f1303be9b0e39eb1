"""Columns of print runs, which of them are a parallel each, and those of serial numbers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import chain
from typing import TYPE_CHECKING

from tagger.core.checklist.headings.meaning import ONE_PARALLEL, meaning_of
from tagger.core.checklist.named.finishes import is_finish
from tagger.core.checklist.parallels import (
    NOT_THERE,
    parse_parallels,
    says_parallel,
)
from tagger.core.checklist.planning.cells import Columns, given, meant, share, unknown
from tagger.core.checklist.planning.parallels.other_marks import is_other_mark
from tagger.core.checklist.raw.print_runs import run_number, run_of_copy
from tagger.core.model.text import fold, printable

if TYPE_CHECKING:
    from tagger.core.checklist.plan import Plan


def copies_beside(plan: Plan, columns: Columns) -> Plan:
    """The plan with the column of serial numbers of copies, `12/99`, beside parallels whose print
    runs nothing else says."""
    if not plan.has("parallels") or plan.has("run"):
        return plan
    for at, name in enumerate(plan.names):
        if not plan.meanings[at] and share(columns[at], run_of_copy) >= 0.8:
            shown = printable(name, 40)
            said = f"'{shown}' holds serial numbers of copies; the print runs are theirs"
            return replace(plan, copies=at, unsure=(*plan.unsure, said))
    return plan


def runs_noted(plan: Plan, columns: Columns) -> Plan:
    """The plan with the column of notes in which some cards have their print runs: `#/99` among
    `RC` and `SP`."""
    if plan.has("run"):
        return plan
    for at, name in unknown(plan, columns):
        some = given(columns[at])
        runs = [cell for cell in some if "/" in cell and run_number(cell)]
        others = set(some) - set(runs)
        if len(runs) < _FEWEST or any(map(_has_digit, others)) or is_finish(name):
            continue
        note = f"'{printable(name, 40)}' has print runs of some cards, which are theirs"
        return replace(plan, noted_runs=at, notes=(*plan.notes, note))
    return plan


_FEWEST = 2


def _has_digit(cell: str) -> bool:
    return any(map(str.isdigit, cell))


def runs_of_cards(plan: Plan, columns: Columns) -> Plan:
    """The plan in which the column of print runs has those of the cards themselves: beside lists of
    their parallels, which have runs of their own, it can have no other."""
    if len(plan.at("run")) != 1 or len(plan.at("parallels")) != 1:
        return plan
    at, lists = plan.at("run")[0], columns[plan.at("parallels")[0]]
    name = printable(plan.names[at], 40)
    if share(lists, _lists_several) < 0.5:
        beside = [_lists_several(one) for one, run in zip(lists, columns[at], strict=True) if run]
        if not any(beside):
            return plan
        said = f"'{name}' stands beside several parallels in {sum(beside)} rows; it is read as that"
        said = f"{said} of the card itself there"
        return replace(plan, unsure=(*plan.unsure, said))
    note = f"'{name}' has the print runs of the cards themselves, beside lists of parallels"
    return replace(plan, base_runs=True, notes=(*plan.notes, note))


def _lists_several(cell: str) -> bool:
    # as many runs as names, one below the other, are those of the names
    return "\v" not in cell and len(parse_parallels(cell)) > 1


def ones_are_runs(plan: Plan, columns: Columns) -> bool:
    """Whether `1` is the print run of one copy: among columns of bare runs."""
    crossed = [set(columns[at]) for at in plan.at(ONE_PARALLEL) if at not in plan.priced]
    # a column of crosses may stand beside these
    cells = set(chain(*(each for each in crossed if any(map(str.isdigit, each)))))
    some = {cell for cell in cells if fold(cell) not in NOT_THERE}
    return "1" in some and len(some) > 1 and all(cell.isdigit() for cell in some)


def own_runs(plan: Plan, columns: Columns) -> Plan:
    """`Gold Run` behind `Gold` has the print runs of that parallel."""
    for at in range(1, len(plan.names)):
        before, name = plan.names[at - 1], plan.names[at]
        rest = name.removeprefix(before)
        if plan.meanings[at - 1] or not before or rest == name or meaning_of(rest)[0] != "run":
            continue
        if share(columns[at], run_number) == 1 and share(columns[at - 1], says_parallel) == 1:
            plan = meant(meant(plan, at, "run"), at - 1, ONE_PARALLEL)
    return plan


def named_runs(plan: Plan, columns: Columns) -> Plan:
    """`Gold print run`, `Red print run`: columns of runs that are called by a parallel."""
    names, known = list(plan.names), {fold(name) for name in plan.names}
    for at, name in enumerate(plan.names):
        finish = _finish_of_runs(name)
        if plan.meanings[at] not in ("", "run") or not finish or fold(finish) in known:
            continue
        if not plan.has("parallels") and share(columns[at], run_number) == 1:
            names[at], plan = finish, meant(plan, at, ONE_PARALLEL)
    return replace(plan, names=tuple(names))


def _finish_of_runs(name: str) -> str:
    """The parallel in the heading of its print runs, empty where it is none."""
    words = name.split()
    ends = [at for at in range(1, len(words)) if meaning_of(" ".join(words[at:]))[0] == "run"]
    finish = " ".join(words[: ends[0]]) if ends else ""
    return finish if is_finish(finish) else ""


def beside_runs(plan: Plan, columns: Columns, sure: list[int]) -> list[int]:
    """The columns that are parallels, and those right beside them of print runs as well: both say
    with the same sign that there is none, or it is one of several that are called by finishes."""
    runs = [at for at in sure if any(map(_is_long_run, columns[at]))]
    signs = set(map(fold, chain(*(given(columns[at]) for at in runs)))) & NOT_THERE
    for at, name in unknown(plan, columns):
        is_run = _says_none_with(signs, name, columns[at])
        is_run = is_run or (len(runs) > 1 and _are_short_runs(name, columns[at]))
        if is_run and at not in sure and at - 1 in runs:
            sure, runs = [*sure, at], [*runs, at]
    return sure


def _says_none_with(signs: set[str], name: str, cells: Sequence[str]) -> bool:
    """Whether the cells of a column are print runs, or one of some signs that there is none."""
    if is_other_mark(name) or signs.isdisjoint(map(fold, given(cells))):
        return False
    return share(cells, says_parallel) == 1


def _few_copies(name: str, cells: Sequence[str]) -> bool:
    """Whether a column of a finish has the short print runs of its cards: `1`, `5`."""
    some = set(given(cells))
    return is_finish(name) and 0 < len(some) <= 4 and some != {"1"} and all(map(str.isdigit, some))


_USUAL_RUNS = frozenset(["1", "5", "10", "15", "20", "25", "49", "50", "75", "99", "100"])


def _are_short_runs(name: str, cells: Sequence[str]) -> bool:
    """Whether a column has the print runs of a finish, or several numbers that runs mostly have."""
    some = set(given(cells))
    usual = len(some) > 1 and some <= _USUAL_RUNS and not is_other_mark(name)
    return usual or _few_copies(name, cells)


def _is_long_run(cell: str) -> bool:
    return run_number(cell) > 4
