"""Columns that are one parallel each: crosses or print runs below its name."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import chain
from typing import TYPE_CHECKING

from tagger.core.checklist.headings.meaning import (
    ONE_PARALLEL,
    heading_key,
    meaning_of,
    priced_parallel,
)
from tagger.core.checklist.named.finishes import is_finish
from tagger.core.checklist.named.money_words import says_money
from tagger.core.checklist.parallels import (
    NOT_THERE,
    OPEN_BOXES,
    are_ticks,
    is_plain,
    says_parallel,
)
from tagger.core.checklist.planning.cells import Columns, given, meant, share
from tagger.core.checklist.planning.lost import says_paid
from tagger.core.checklist.raw.notes import is_total
from tagger.core.checklist.raw.prices import is_amount, price_said
from tagger.core.checklist.raw.print_runs import run_number, run_of_copy, split_run
from tagger.core.model.column_names import PRICE
from tagger.core.model.money import amount, is_price_column
from tagger.core.model.text import fold, printable, whole_number

if TYPE_CHECKING:
    from tagger.core.checklist.plan import Plan

# Headings of crosses that tell something else than a parallel (common practice, no source).
_OTHER_MARKS = frozenset(
    [
        "rc", "rookie", "rookies", "auto", "autograph", "autographs", "autogramm", "relic", "mem",
        "memorabilia", "patch", "sp", "ssp", "hof", "have", "own", "owned", "need", "needed",
        "want", "wanted", "got", "missing", "qty", "quantity", "count", "stock", "collected",
        "checked", "check", "done", "sold", "listed", "trade", "dupes", "doubles", "extra",
        "extras", "traded", "error", "err", "cor", "ec", "short", "print", "shortprint", "graded",
        "page", "box", "pos", "position", "anzahl", "bestand", "vorhanden", "habe", "fehlt",
        "doppelt", "menge", "possede", "manque", "tengo", "falta", "cantidad", "posseduto",
        "manca", "ho", "vorh", "hp", "kp", "pv", "ps", "atk",
        "def", "attack", "defense", "defence", "power", "level", "mana", "cost", "speed", "heb",
        "mist", "gezocht", "zoek", "gesucht", "suche", "cherche",
        "recherche",
        "busco", "cerco", "dubbel", "dubbele", "doppie", "repes", "notes", "note", "remarks",
        "age", "born", "weight",
        "height", "wins", "losses", "games", "stuck", "stk", "qte", "nb", "cant", "qta", "quantita",
        "aantal", "stuks", "uds", "unidades", "pz", "pezzi", "枚", "所持", "所持数",
    ]
)  # fmt: skip


_NAMED_RUN = re.compile(r"[^\W\d_]{3,}[^/]*/\s*[0-9]{1,5}\b(?!/|\.\w)")


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


def parallel_columns(plan: Plan, columns: Columns) -> Plan:
    """Unknown columns of crosses or print runs are a parallel each."""
    plan = _priced(_named_runs(_own_runs(plan, columns), columns), columns)
    counted = _unknown(plan, lambda at: _is_counted(plan.names[at], columns[at]))
    marked = _unknown(plan, lambda at: _may_be_parallel(plan.names[at], columns[at]))
    # `1` beside a column of 2 and 3 is a count as well, and no cross
    if counted:
        marked = [at for at in marked if not set(given(columns[at])) <= {"0", "1"}]
    sure = _beside_runs(plan, columns, _sure(plan, columns, marked))
    for at in sure:
        plan = meant(plan, at, ONE_PARALLEL)
    # `Gold Have` says what the dealer has, and that there is a Gold
    had = _unknown(plan, lambda at: is_finish(plan.names[at]) and at not in marked)
    unsure = [at for at in (*had, *marked) if at not in sure and _are_crosses(columns[at])]
    plan = _told(_named_below(plan, columns), unsure, "crosses")
    plan = replace(plan, bare_runs=_ones_are_runs(plan, columns))
    return _told(_boxes_told(plan, columns), counted, "numbers")


def _beside_runs(plan: Plan, columns: Columns, sure: list[int]) -> list[int]:
    """The columns that are parallels, and those right beside them of print runs as well: both say
    with the same sign that there is none, or it is one of several that are called by finishes."""
    runs = [at for at in sure if any(map(_is_long_run, columns[at]))]
    signs = set(map(fold, chain(*(given(columns[at]) for at in runs)))) & NOT_THERE
    for at in _unknown(plan, lambda _: True):
        is_run = _says_none_with(signs, plan.names[at], columns[at])
        is_run = is_run or (len(runs) > 1 and _are_short_runs(plan.names[at], columns[at]))
        if is_run and at not in sure and at - 1 in runs:
            sure, runs = [*sure, at], [*runs, at]
    return sure


def _says_none_with(signs: set[str], name: str, cells: Sequence[str]) -> bool:
    """Whether the cells of a column are print runs, or one of some signs that there is none."""
    if _is_other_mark(name) or signs.isdisjoint(map(fold, given(cells))):
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
    usual = len(some) > 1 and some <= _USUAL_RUNS and not _is_other_mark(name)
    return usual or _few_copies(name, cells)


def _is_long_run(cell: str) -> bool:
    return run_number(cell) > 4


def _is_other_mark(name: str) -> bool:
    # `Q.tà` is one word, though a point parts it
    return not _OTHER_MARKS.isdisjoint([heading_key(name), *re.findall(r"[^\W_]+", fold(name))])


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


def _priced(plan: Plan, columns: Columns) -> Plan:
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
    some = _unknown(plan, lambda at: _are_amounts(plan.names[at], columns[at]))
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


_DECIMAL = re.compile(r"[0-9]{1,6}(?:[.,][0-9]{1,2})?")


def _with_halves(plan: Plan, columns: Columns) -> list[int]:
    """The columns called by parallels, or by the base card, of numbers such as `2.5` and `40.0`, as
    programs write amounts: of print runs none would be a fraction. Numbers without one, `40`, are
    amounts where the base card has such a column as well."""
    some = _unknown(plan, lambda at: _are_decimal(columns[at]))
    plain = [at for at in some if is_plain(plan.names[at])]
    finishes = [
        at for at in some if is_finish(plan.names[at]) and not _is_other_mark(plan.names[at])
    ]
    found = [at for at in some if at in finishes or at in plain]
    if plain:  # `Regular`, `Frost`, `Gold /50`: what stands between these is one as well
        found = [at for at in some if found[0] <= at <= found[-1] and _may_be_between(plan, at)]
    cells = [*chain(*(given(columns[at]) for at in found))]
    with_base = len(found) > 1 and any(is_plain(plan.names[at]) for at in found)
    parted = [*filter(_has_fraction, cells)]
    # beside the price of the card what has a fraction here and there is one as well
    least = len(cells) / 4 if plan.has(PRICE) else len(cells)
    if not with_base and len(parted) < least:
        return []
    return found if any(cell.rstrip("0")[-1:].isdigit() for cell in parted) else []


def _are_decimal(cells: Sequence[str]) -> bool:
    """Whether all cells but those that say that there is none are numbers of an amount."""
    some = [cell for cell in given(cells) if fold(cell) not in NOT_THERE]
    return bool(some) and all(map(_DECIMAL.fullmatch, some))


def _may_be_between(plan: Plan, at: int) -> bool:
    return is_plain(plan.names[at]) or not _is_other_mark(plan.names[at])


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


def _ones_are_runs(plan: Plan, columns: Columns) -> bool:
    """Whether `1` is the print run of one copy: among columns of bare runs."""
    crossed = [set(columns[at]) for at in plan.at(ONE_PARALLEL) if at not in plan.priced]
    # a column of crosses may stand beside these
    cells = set(chain(*(each for each in crossed if any(map(str.isdigit, each)))))
    some = {cell for cell in cells if fold(cell) not in NOT_THERE}
    return "1" in some and len(some) > 1 and all(cell.isdigit() for cell in some)


def _own_runs(plan: Plan, columns: Columns) -> Plan:
    """`Gold Run` behind `Gold` has the print runs of that parallel."""
    for at in range(1, len(plan.names)):
        before, name = plan.names[at - 1], plan.names[at]
        rest = name.removeprefix(before)
        if plan.meanings[at - 1] or not before or rest == name or meaning_of(rest)[0] != "run":
            continue
        if share(columns[at], run_number) == 1 and share(columns[at - 1], says_parallel) == 1:
            plan = meant(meant(plan, at, "run"), at - 1, ONE_PARALLEL)
    return plan


def _named_runs(plan: Plan, columns: Columns) -> Plan:
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


def _unknown(plan: Plan, test: Callable[[int], bool]) -> list[int]:
    """The columns with a heading that means nothing, and that pass a test."""
    known = zip(plan.names, plan.meanings, strict=True)
    return [at for at, (name, meaning) in enumerate(known) if name and not meaning and test(at)]


def _sure(plan: Plan, columns: Columns, marked: list[int]) -> list[int]:
    """Those of the marked columns that are parallels: by their name, by one beside them that is,
    by print runs and nothing else."""
    known = plan.at(ONE_PARALLEL)
    named = [at for at in marked if is_finish(plan.names[at])]
    beside = [at for at in marked if (named or known) and {at - 1, at + 1} & {*marked, *known}]
    return [at for at in marked if at in (*named, *beside) or _is_only_runs(columns[at])]


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
    if _is_other_mark(name) and not split_run(name)[1]:
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
