"""Columns that are one parallel each: crosses or print runs below its name."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from tagger.core.checklist.headings.meaning import ONE_PARALLEL, meaning_of
from tagger.core.checklist.named.finishes import is_finish
from tagger.core.checklist.parallels import (
    NOT_THERE,
    OPEN_BOXES,
    are_ticks,
    is_plain,
    says_parallel,
)
from tagger.core.checklist.planning.cells import Columns, given, meant, share, unknown
from tagger.core.checklist.planning.parallels.other_marks import is_other_mark
from tagger.core.checklist.planning.parallels.priced import priced_columns
from tagger.core.checklist.planning.parallels.print_runs import (
    beside_runs,
    named_runs,
    ones_are_runs,
    own_runs,
)
from tagger.core.checklist.raw.notes import is_total
from tagger.core.checklist.raw.print_runs import run_number, split_run
from tagger.core.model.money import is_price_column
from tagger.core.model.text import fold, printable, whole_number

if TYPE_CHECKING:
    from tagger.core.checklist.plan import Plan

_NAMED_RUN = re.compile(r"[^\W\d_]{3,}[^/]*/\s*[0-9]{1,5}\b(?!/|\.\w)")


def parallel_columns(plan: Plan, columns: Columns) -> Plan:
    """Unknown columns of crosses or print runs are a parallel each."""
    plan = priced_columns(named_runs(own_runs(plan, columns), columns), columns)
    counted = [at for at, name in unknown(plan, columns) if _is_counted(name, columns[at])]
    marked = [at for at, name in unknown(plan, columns) if _may_be_parallel(name, columns[at])]
    # `1` beside a column of 2 and 3 is a count as well, and no cross
    if counted:
        marked = [at for at in marked if not set(given(columns[at])) <= {"0", "1"}]
    sure = beside_runs(plan, columns, _sure(plan, columns, marked))
    for at in sure:
        plan = meant(plan, at, ONE_PARALLEL)
    # `Gold Have` says what the dealer has, and that there is a Gold
    had = [at for at, name in unknown(plan, columns) if is_finish(name) and at not in marked]
    unsure = [at for at in (*had, *marked) if at not in sure and _are_crosses(columns[at])]
    plan = _told(_named_below(plan, columns), unsure, "crosses")
    plan = replace(plan, bare_runs=ones_are_runs(plan, columns))
    return _counts_told(_boxes_told(plan, columns), columns, counted)


def _counts_told(plan: Plan, columns: Columns, counted: Sequence[int]) -> Plan:
    if any(_is_of_copies(name, columns[at]) for at, name in unknown(plan, columns)):
        return _of_copies(plan, counted)
    return _told(plan, counted, "numbers")


def _is_of_copies(name: str, cells: Sequence[str]) -> bool:
    """Whether a column counts the copies of the plain card that its owner has."""
    some = given(cells)
    return is_plain(name) and len(some) > 1 and all(map(str.isdigit, some))


def _of_copies(plan: Plan, counted: Sequence[int]) -> Plan:
    """The plan in which counts of copies beside those of the plain card say of which cards there
    are parallels; told, as there may be some of which the owner has none."""
    if not counted:
        return plan
    for at in counted:
        plan = meant(plan, at, ONE_PARALLEL)
    names = ", ".join(f"'{printable(plan.names[at], 40)}'" for at in counted)
    said = f"{names}: counts of copies, read as parallels of those cards that have one"
    return replace(plan, stocked=frozenset(counted), unsure=(*plan.unsure, said))


def _boxes_told(plan: Plan, columns: Columns) -> Plan:
    """The plan that says how boxes are read, some of them ticked and some not."""
    crossed = {at: set(given(columns[at])) for at in plan.at(ONE_PARALLEL)}
    ticked = any(cells - OPEN_BOXES for cells in crossed.values())
    for at, cells in crossed.items():
        if ticked and (boxes := cells & OPEN_BOXES):
            shown = printable(plan.names[at], 40)
            said = (
                f"'{min(boxes)}' below '{shown}' is read as one that its owner lacks; if there is "
                "no such card, leave the cell empty"
            )
            return replace(plan, unsure=(*plan.unsure, said))
    return plan


def _sure(plan: Plan, columns: Columns, marked: list[int]) -> list[int]:
    """Those of the marked columns that are parallels: by their name, by one beside them that is,
    by print runs and nothing else."""
    known = plan.at(ONE_PARALLEL)
    named = [at for at in marked if is_finish(plan.names[at])]
    # `Normal`, `Reverse`, `Stamped`
    sure = [*named, *known, *_plain(plan, columns)]
    beside = [at for at in marked if sure and {at - 1, at + 1} & {*marked, *sure}]
    return [at for at in marked if at in (*named, *beside) or _is_only_runs(columns[at])]


def _plain(plan: Plan, columns: Columns) -> list[int]:
    """The columns of ticks of the plain card."""
    return [at for at, name in unknown(plan, columns) if is_plain(name) and are_ticks(columns[at])]


def _named_below(plan: Plan, columns: Columns) -> Plan:
    """An unknown column of names with print runs (`Gold /50`) holds the parallels, if none does."""
    for at, name in enumerate(plan.names):
        if plan.meanings[at] or not name or plan.has("parallels"):
            continue
        if share(columns[at], _NAMED_RUN.search) >= 0.5:
            shown = printable(name, 40)
            said = f"'{shown}' is not known as a heading; by its cells it is the parallels"
            return replace(meant(plan, at, "parallels"), unsure=(*plan.unsure, said))
    return plan


def _told(plan: Plan, columns: Sequence[int], hold: str) -> Plan:
    """The plan that says of some columns that they may be parallels."""
    if not columns:
        return plan
    names = ", ".join(f"'{printable(plan.names[at], 40)}'" for at in columns)
    said = (
        f"{names}: {hold} that may mean a parallel; kept as they are (if they do: --columns "
        f"'{printable(plan.names[columns[0]], 40)}={ONE_PARALLEL}')"
    )
    return replace(plan, unsure=(*plan.unsure, said))


def _is_counted(name: str, cells: Sequence[str]) -> bool:
    return is_finish(name) and _are_counts(cells) and not is_price_column(name)


def _are_counts(cells: Sequence[str]) -> bool:
    """Whether some cells have small whole numbers other than 1."""
    some = given(cells)
    return all(cell.isdigit() for cell in some) and not {"2", "3", "4"}.isdisjoint(some)


def _are_crosses(cells: Sequence[str]) -> bool:
    """Whether each cell that says something has a cross, and none a number."""
    return are_ticks(cells) and not {fold(cell) for cell in cells} <= NOT_THERE


def _may_be_parallel(name: str, cells: Sequence[str]) -> bool:
    # `Signed?` asks, `x2` counts, and `Album` with ticks below is called by something else
    asks = name.rstrip().endswith("?") and not is_finish(name)
    if asks or _COUNTS.fullmatch(fold(name)) or _says_otherwise(name):
        return False
    # `Stock` counts, `Vintage Stock /99` is a parallel
    if is_other_mark(name) and not split_run(name)[1]:
        return False
    return bool(given(cells)) and share(cells, says_parallel) == 1 and _says_there(cells)


_COUNTS = re.compile(r"x[0-9]{0,2}|[0-9]{1,2}x")


def _says_otherwise(name: str) -> bool:
    """Whether a heading is that of the plain card, of words or of a total."""
    return is_plain(name) or _is_of_words(name) or is_total([name])


def _is_of_words(name: str) -> bool:
    return meaning_of(name)[0] in ("set", "team", "subject", "maker", "alias")


def _says_there(cells: Sequence[str]) -> bool:
    """Whether crosses and runs are among the cells, and no counts: 1, 2, 3."""
    some = {fold(cell) for cell in cells if cell} - NOT_THERE
    counts = {cell for cell in some if (n := whole_number(cell)) is not None and n < 10}
    # a run of one copy beside runs of ten and more is one as well
    return bool(some) and (counts <= {"1"} or not counts & _FEW)


_FEW = frozenset("1234")


def _is_only_runs(cells: Sequence[str]) -> bool:
    """Whether each cell that says something says a print run with its slash."""
    some = [cell for cell in cells if fold(cell) not in NOT_THERE]
    return bool(some) and all("/" in cell and run_number(cell) for cell in some)
