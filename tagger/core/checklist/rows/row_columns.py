"""From the cells of a line to the values of a row, by the plan of its table."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from tagger.core.checklist.headings.meaning import ONE_PARALLEL, priced_parallel
from tagger.core.checklist.named.grades import finish_behind_grade
from tagger.core.checklist.numbers_read import star_of
from tagger.core.checklist.parallels import (
    each_with_run,
    is_crossed_out,
    named_by,
    parallel_of,
    parse_parallels,
    unique,
    with_run,
)
from tagger.core.checklist.plan import Plan, number_of_cell, set_before_number
from tagger.core.checklist.raw.prices import price_said
from tagger.core.checklist.raw.print_runs import run_number, run_of_copy, split_run
from tagger.core.checklist.raw.years import whole_year
from tagger.core.checklist.rows.behind import POSITION, Beside, beside, marks_kept
from tagger.core.checklist.rows.values import UNSET, Values, said, tidy
from tagger.core.model.column_names import PRICE, SERIES_NAME
from tagger.core.model.money import is_price_column
from tagger.core.model.tags import is_series
from tagger.core.model.text import fold, whole_number

if TYPE_CHECKING:
    from tagger.core.checklist.columns import Rows
    from tagger.core.model.tags import Parallel

_NO_NAMES = frozenset(
    ["NaN", "nan", "NULL", "null", "(null)", "<NA>", "None", "\\N", "-", "–", "—"]
)
_LIST_MARKS = ";|,\n\v"


def _several(raw: str | tuple[str, ...]) -> tuple[str, ...]:
    return (raw,) if isinstance(raw, str) else raw


def row_values(plan: Plan, stem: str, rows: Rows) -> tuple[Values, ...]:
    """What makes the six columns of `rows` of a line: set, number, subject, team, parallels,
    further columns."""
    subject = plan.subject_columns
    return (
        _set_values(plan, stem, subject, rows),
        _number_values(plan, subject, rows),
        _subject_values(plan, subject, rows),
        _team_values(plan, subject, rows),
        _parallel_values(plan, subject, rows),
        _extra_values(plan, subject, rows),
    )


def _set_values(plan: Plan, stem: str, subject: list[int], rows: Rows) -> Values:
    year, named = plan.at("year"), plan.at("set")
    maker = plan.at("maker") if plan.with_maker else []
    if plan.set_first and not named:
        return _set_first_values(plan, [*year, *maker], stem, rows)
    if not (year or named or maker):
        if not plan.joined.startswith("listing"):
            return Values([], lambda raw: rows.sets.id(stem))
        return Values(subject, lambda raw: rows.sets.id(_beside(plan, raw).set or stem))

    def make(raw: str | tuple[str, ...]) -> int:
        cells = dict(zip((*year, *maker, *named), map(said, _several(raw)), strict=True))
        name = "".join(cells[at] for at in (named or maker or year))
        if not name and plan.unnamed_sets:
            name = cells[maker[0]]
        if not name:
            return UNSET
        if not (named or maker):
            name = stem
        parts = [_whole(cells[at]) for at in (*year, *maker)]
        return rows.sets.id(_set_name(parts, name))

    return Values([*year, *maker, *named], make)


def _set_first_values(plan: Plan, before: list[int], stem: str, rows: Rows) -> Values:
    """The sets that stand before the numbers."""

    def make(raw: str | tuple[str, ...]) -> int:
        *parts, cell = _several(raw)
        name = set_before_number(cell)[0] or stem
        return rows.sets.id(_set_name([_whole(said(part)) for part in parts], tidy(name)))

    return Values([*before, *plan.at("number")], make)


def _whole(year: str) -> str:
    # a year's cell that was formatted as a date
    if match := _DATED.match(year):
        return match["year"]
    year = year.removesuffix(".0")
    # `87` is 1987: no card is older than that, and none of the time to come
    return whole_year(year) if _SHORT.match(year) else year


_SHORT = re.compile(r"^['’]?[0-9]{2}$")


_DATED = re.compile(r"^(?P<year>(?:1[89]|20)[0-9]{2})-[0-9]{2}-[0-9]{2}(?:[T ][0-9:.]+)?$")


def _set_name(parts: Sequence[str], name: str) -> str:
    """Year, maker and name as one; what the name says already is not said again."""
    said = f" {' '.join(fold(name).split())} "
    return " ".join([*(part for part in parts if part and f" {fold(part)} " not in said), name])


def _number_values(plan: Plan, subject: list[int], rows: Rows) -> Values:
    if plan.joined:
        return Values(subject, lambda raw: rows.numbers.id(_beside(plan, raw).number))
    return Values(plan.at("number"), lambda raw: rows.numbers.id(said(number_of_cell(raw, plan))))


def _subject_values(plan: Plan, at: list[int], rows: Rows) -> Values:
    if plan.subject:
        return Values([], lambda raw: rows.subjects.id(plan.subject))
    if not (plan.behind or plan.team or plan.joined or len(at) > 1):
        return Values(at, lambda raw: rows.subjects.id(_named(raw)))
    return Values(at, lambda raw: rows.subjects.id(_beside(plan, raw).subject))


def _named(text: str) -> str:
    # `Nan` is a name, `NaN` and `nan` are not, and `????` stands for one that is not known
    return "" if text.strip() in _NO_NAMES or _NOT_KNOWN.fullmatch(text) else tidy(text)


_NOT_KNOWN = re.compile(r"[\s?.…_–—-]+")


def _beside(plan: Plan, raw: str | tuple[str, ...]) -> Beside:
    """What the cells of the subject hold."""
    mark = " / " if plan.has("subject") else " "
    text = tidy(mark.join(filter(None, map(_named, _several(raw)))))
    return beside(text, plan.behind, plan.team, plan.joined)


def _team_values(plan: Plan, subject: list[int], rows: Rows) -> Values:
    if plan.team and plan.team != POSITION:
        return Values(subject, lambda raw: rows.teams.id(_beside(plan, raw).team))
    if plan.city >= 0:
        at = [plan.city, *plan.at("team")]
        return Values(at, lambda raw: rows.teams.id(" ".join(filter(None, map(said, raw)))))
    if len(plan.at("team")) < 2:
        return Values(plan.at("team"), lambda raw: rows.teams.id(said(raw)))
    return Values(
        plan.at("team"), lambda raw: rows.teams.id(" / ".join(filter(None, map(said, raw))))
    )


def _parallel_values(plan: Plan, subject: list[int], rows: Rows) -> Values:
    if _are_paired(plan):
        return _paired_values(plan, rows)
    names, crossed = plan.at("parallels"), plan.at(ONE_PARALLEL)
    graded = [plan.graded] if plan.graded >= 0 else []
    own = [*crossed, *graded, *(subject if plan.behind else [])]
    runs = [*plan.at("run"), *(one for one in (plan.noted_runs, plan.copies) if one >= 0)]
    at = [*names, *runs, *own]
    headings = [_parallel_heading(plan, place) for place in crossed]
    crosses_of = [_cross_in(plan, place) for place in crossed]
    first, last = len(names), len(names) + len(runs)
    numbered = all(plan.names[place][-1:].isdigit() for place in names)

    def make(raw: str | tuple[str, ...]) -> int:
        cells = _several(raw) if at else ()
        found = _with_runs(plan, _joined(cells[:first], numbered), cells[first:last])
        marked = last + len(crossed)
        for cell in cells[marked : marked + len(graded)]:
            found = (*found, *parse_parallels(finish_behind_grade(cell)))
        if plan.behind and (own := _beside(plan, cells[marked + len(graded) :]).parallel):
            found = with_run(found, own) if own[0] == "/" else (*found, *parse_parallels(own))
        marks = [cross(cell) for cross, cell in zip(crosses_of, cells[last:], strict=False)]
        crosses = map(named_by, headings, marks)
        return rows.parallels.id(unique([*found, *crosses]))

    return Values(at, make)


def _are_paired(plan: Plan) -> bool:
    """Whether each parallel has a column with its print run behind it."""
    runs = plan.at("run")
    return len(runs) > 1 or any(plan.names[at].startswith(plan.names[at - 1]) for at in runs if at)


def _with_runs(plan: Plan, text: str, runs: Sequence[str]) -> tuple[Parallel, ...]:
    """The parallels of a cell with the runs of the cells beside it."""
    for run in runs:
        text = each_with_run(text, run) if "\v" in run else text
    found = parse_parallels(text)
    for run in runs:
        said = run if plan.copies < 0 else f"/{run_of_copy(run)}"
        found = with_run(found, said, plan.base_runs)
    return found


def _parallel_heading(plan: Plan, at: int) -> str:
    name = priced_parallel(plan.names[at]) if at in plan.priced else plan.names[at]
    return name.rstrip("? ")


def _cross_in(plan: Plan, at: int) -> Callable[[str], str]:
    """What makes a cross or a print run of a cell of a column that is one parallel."""
    if at in plan.priced:
        return lambda cell: "x" if price_said(cell) else ""
    if at in plan.stocked:
        return lambda cell: "x" if whole_number(cell) else ""
    if at in plan.owned:
        return lambda cell: cell if is_crossed_out(cell) else "x"
    if plan.bare_runs:
        return lambda cell: "1/1" if cell.strip() == "1" else cell
    return str


def _paired_values(plan: Plan, rows: Rows) -> Values:
    """`Parallel 1`, `Run 1`, `Parallel 2`, `Run 2`: each run is that of the parallel before it."""
    meant = ("parallels", "run", ONE_PARALLEL)
    at = [place for place, meaning in enumerate(plan.meanings) if meaning in meant]

    def make(raw: str | tuple[str, ...]) -> int:
        found: list[Parallel | None] = []
        for place, cell in zip(at, _several(raw), strict=True):
            if plan.meanings[place] == "parallels":
                found += parse_parallels(cell)
            elif plan.meanings[place] == ONE_PARALLEL:
                found.append(named_by(_parallel_heading(plan, place), _cross_in(plan, place)(cell)))
            elif found and (run := run_number(cell)) and (before := found[-1]) is not None:
                found[-1] = parallel_of(before.name, run)
        return rows.parallels.id(unique(found))

    return Values(at, make)


def _joined(cells: Sequence[str], numbered: bool) -> str:
    """The cells of parallels as one: two names are one parallel, lists of them one list, and so are
    names in columns that are `numbered`, or that have a print run each."""
    given = [cell.strip() for cell in cells if cell.strip()]
    apart = len(given) > 1 and (numbered or _are_lists(given))
    text = ("; " if apart else " ").join(given)
    # a break in the cell parts as a semicolon does, where nothing else parts
    text = text.replace("\v", "\n")
    if any(mark in text for mark in ";|"):
        return tidy(text)
    return "\n".join(filter(None, map(tidy, text.split("\n"))))


def _are_lists(cells: Sequence[str]) -> bool:
    """Whether some cells are parallels each by itself, and not the words of one."""
    if any(mark in cell for cell in cells for mark in _LIST_MARKS):
        return True
    return any(split_run(cell)[1] for cell in cells[:-1])


def further_columns(plan: Plan) -> dict[int, str]:
    """The columns that are kept beside the others, by their places, with the names they are kept
    under."""
    kept = {"", "alias", PRICE, "series"}
    if not plan.with_maker:
        kept.add("maker")
    named = {
        at: _kept_name(tidy(plan.names[at]), meaning)
        for at, meaning in enumerate(plan.meanings)
        if (meaning in kept or at in plan.stocked) and plan.names[at]
    }
    prices = {at: _price_name(tidy(plan.names[at])) for at in plan.priced}
    return dict(sorted((named | prices).items()))


def _price_name(heading: str) -> str:
    """The name that the prices of a parallel are looked up by."""
    name = f"{PRICE} {split_run(priced_parallel(heading))[0]}"
    return heading if fold(heading) == fold(name) else name


def _kept_name(name: str, meaning: str) -> str:
    """The name a column is kept under: what prices and series are looked up by, else its own."""
    if meaning == PRICE and fold(name) != PRICE:
        return PRICE
    if meaning == "series" and not is_series(name):
        return SERIES_NAME
    return name


def _tidied_by(plan: Plan, at: int, name: str) -> Callable[[str], str]:
    """What makes the text that is kept of a cell of a further column."""
    if at in plan.thousands:
        return lambda cell: re.sub("[.,]", "", price_said(cell))
    return price_said if is_price_column(name) else str.strip


def _extra_values(plan: Plan, subject: list[int], rows: Rows) -> Values:
    further = further_columns(plan)
    names = list(further.values())
    starred = plan.at("number") if plan.starred else []
    marks = [*starred, *(subject if plan.behind else [])]
    tidied = [_tidied_by(plan, at, name) for at, name in further.items()]

    def make(raw: str | tuple[str, ...]) -> int:
        cells = _several(raw)
        # not strict: without further columns there is one empty text and no name for it
        pairs = [(name, tell(cell)) for name, tell, cell in zip(names, tidied, cells, strict=False)]
        if marks:
            own = cells[len(names) :]
            stars = [star for cell in own[: len(starred)] if (star := star_of(cell))]
            behind = _beside(plan, own[len(starred) :]).marks if plan.behind else ()
            pairs += marks_kept((*behind, *stars))
        return rows.extras.id(tuple(pairs))

    return Values([*further, *marks], make)
