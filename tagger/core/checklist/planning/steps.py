"""From the headings and the first lines of a table to its plan, one step after the other."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import pairwise

from tagger.core.checklist.headings.meaning import (
    ONE_PARALLEL,
    heading_key,
    meaning_of,
    says_series,
)
from tagger.core.checklist.named.finishes import is_finish
from tagger.core.checklist.named.positions import POSITION_BEHIND, are_positions
from tagger.core.checklist.numbers_read import are_counted, is_float, is_number_like, star_of
from tagger.core.checklist.parallels import NOT_THERE, are_ticks
from tagger.core.checklist.plan import LOOKED_AT, Plan, set_before_number
from tagger.core.checklist.planning.blocks import filled_blocks
from tagger.core.checklist.planning.cells import Columns, given, meant, share
from tagger.core.checklist.planning.dated import dated_numbers
from tagger.core.checklist.planning.doubts import (
    date_column,
    doubts,
    finishes_of_some,
    kinds_of_cards,
    priced,
    year_column,
)
from tagger.core.checklist.planning.guesses import (
    filled_columns,
    missing_number,
    missing_subject,
    parts_before_numbers,
    parts_beside,
    parts_by_numbers,
    parts_in_blocks,
)
from tagger.core.checklist.planning.lost import (
    cities_of_teams,
    only_ones,
    set_by_blocks,
    set_by_numbers,
)
from tagger.core.checklist.planning.misread import (
    counted,
    ticked,
    without_amounts,
    without_signs,
)
from tagger.core.checklist.planning.parallels.columns import parallel_columns
from tagger.core.checklist.planning.parallels.graded import finishes_graded
from tagger.core.checklist.planning.parallels.owned import with_owned
from tagger.core.checklist.planning.parallels.print_runs import (
    copies_beside,
    runs_noted,
    runs_of_cards,
)
from tagger.core.checklist.planning.parallels.versions import versions_below
from tagger.core.checklist.planning.summaries import summary_beside
from tagger.core.checklist.planning.titles_of_sets import titles_of_sets
from tagger.core.checklist.raw.prices import is_plain_amount
from tagger.core.checklist.raw.print_runs import run_number
from tagger.core.checklist.raw.years import has_year
from tagger.core.checklist.rows.behind import (
    ANY_TEAMS,
    JOINED_STYLES,
    POSITION,
    SURE_STYLES,
    TEAM_STYLES,
    WHERE,
    Beside,
    are_teams,
    beside,
    split_behind,
    split_finish_held,
    split_team,
    team_behind_word,
)
from tagger.core.model.column_names import PRICE
from tagger.core.model.text import fold, printable, whole_number

_SHARE = re.compile(r"\s*[0-9]{1,3}(?:[.,][0-9]+)?\s?%\s*")
_SET_NAME = re.compile(
    r"^(?:1[89]|20)[0-9]{2}(?:[-/][0-9]{2,4})?\s+[^\W\d_]{2}"
    r"|^[^\W\d_]{2}[^\d]*\s(?:1[89]|20)[0-9]{2}(?:[-/][0-9]{2,4})?$"
)


def planned(
    names: Sequence[str],
    meanings: Sequence[str],
    rows: Sequence[Sequence[str]],
    remarks: Iterable[str] = (),
) -> Plan:
    """A plan from the column names and the cells of some first rows, each as wide as the names.
    `remarks`: what stands alone on lines around these."""
    plan = Plan(tuple(names), tuple(meanings))
    rows = [row for row in rows if not _is_of_shares(row, plan)]
    columns = [[row[at].strip()[:LOOKED_AT] for row in rows] for at in range(len(names))]
    for step in (*_STEPS, *_LATER_STEPS):
        plan = step(plan, columns)
    plan = with_owned(plan, columns, remarks)
    numbers = [cell for at in plan.at("number") for cell in columns[at]]
    plan = replace(
        plan,
        floats=_are_floats(plan, columns),
        starred=any(map(star_of, numbers)),
        counted=are_counted(given(numbers)),
        summed=_summed(plan, columns),
        thousands=_thousands(plan, columns),
        cased=share([cell for at in plan.at("subject") for cell in columns[at]], _is_cased) >= 0.7,
    )
    plan = replace(plan, with_maker=_maker_tells_apart(plan, columns))
    return doubts(plan, columns)


def _is_cased(name: str) -> bool:
    return any(map(str.islower, name))


def _is_of_shares(row: Sequence[str], plan: Plan) -> bool:
    """Whether a line, mostly below the headings, says how much of each column is done: it has no
    number, as a card with a share beside it has."""
    numbers = plan.at("number")
    if not numbers or any(row[at].strip() for at in numbers):
        return False
    return any(map(_SHARE.fullmatch, row))


def _summed(plan: Plan, columns: Columns) -> frozenset[int]:
    """The further columns that hold amounts or counts."""
    kept = ("", PRICE)
    return frozenset(
        at
        for at, meaning in enumerate(plan.meanings)
        if meaning in kept and share(columns[at], is_plain_amount) >= 0.8
    )


def _thousands(plan: Plan, columns: Columns) -> frozenset[int]:
    """The columns of prices that are whole numbers, some with a mark between thousands."""
    return frozenset(at for at in (*plan.at(PRICE), *plan.priced) if _are_whole(given(columns[at])))


_WHOLE = re.compile(r"[$€£]?\s?(?:[0-9]{1,6}|[1-9][0-9]{0,2}(?P<mark>[.,])[0-9]{3})\s?[$€£]?")


def _are_whole(cells: Sequence[str]) -> bool:
    matches = [match for match in map(_WHOLE.fullmatch, cells) if match]
    marks = {match["mark"] for match in matches} - {None}
    plain = sum(match["mark"] is None for match in matches)
    return len(marks) == 1 and len(matches) == len(cells) and 2 * plain > len(cells)


def _are_floats(plan: Plan, columns: Columns) -> bool:
    """Whether numbers came as `23.0`: some do, and none as `23`."""
    cells = [cell for at in plan.at("number") for cell in given(columns[at])]
    return any(map(is_float, cells)) and not any(map(str.isdigit, cells))


def _series_of_some(plan: Plan, columns: Columns) -> Plan:
    """A column `Series` that is empty for the first cards and for most is the subset of the others,
    and no set."""
    for at in plan.at("set"):
        cells, name = columns[at], plan.names[at]
        is_empty = not cells[:1] or not cells[0]
        if says_series(name) and is_empty and 0 < 2 * len(given(cells)) < len(cells):
            note = f"'{printable(name, 40)}' is empty for most cards, so it is the subset"
            return meant(plan, at, "series", note)
    return plan


def _set_column(plan: Plan, columns: Columns) -> Plan:
    """A column of an unknown name in which years stand before names is the set, if no other is."""
    if plan.has("year") or any(has_year(cell) for at in plan.at("set") for cell in columns[at]):
        return plan
    for at, name in enumerate(plan.names):
        if plan.meanings[at] or not name or not _are_sets(given(columns[at])):
            continue
        said = f"'{printable(name, 40)}' is not known as a heading; by its cells it is the set"
        plan = _without_set(plan)
        return replace(meant(plan, at, "set"), unsure=(*plan.unsure, said))
    return plan


def _are_sets(cells: Sequence[str]) -> bool:
    # what differs from card to card is more than the set
    differ = len(cells) > 5 and len(set(cells)) == len(cells)
    return share(cells, _is_set_name) >= 0.8 and not differ


def _without_set(plan: Plan) -> Plan:
    """The plan in which a column `Card Set` beside names of sets with years has their parts."""
    for at in plan.at("set"):
        part = "" if plan.has("series") else "series"
        said = f"'{printable(plan.names[at], 40)}' has no years, so it is read as the subset"
        plan = replace(meant(plan, at, part), unsure=(*plan.unsure, said))
    return plan


def _is_set_name(cell: str) -> bool:
    return _SET_NAME.match(cell) is not None


def _run_column(plan: Plan, columns: Columns) -> Plan:
    """`/99` in a column of its own, whatever it is called; and one called so that holds none."""
    for at in plan.at("run"):
        if _are_no_runs(plan.names[at], given(columns[at]), plan.has("parallels")):
            plan = meant(plan, at, "")
    unknown = [at for at, meaning in enumerate(plan.meanings) if not meaning]
    runs = [at for at in unknown if share(columns[at], _says_run) > 0.9]
    # `/99` below one heading and `/25` below the next one: each is a parallel with its run
    if len(runs) == 1 and not plan.has("run") and not is_finish(plan.names[runs[0]]):
        plan = meant(plan, runs[0], "run")
    return plan


def _are_no_runs(name: str, cells: Sequence[str], of_parallels: bool) -> bool:
    # `枚数` counts copies as well
    if name.strip() == "枚数" and all(len(cell) == 1 for cell in cells):
        return True
    # of a run of none there is no card
    if "0" in cells and not of_parallels and all(map(str.isdigit, cells)):
        return True
    return bool(cells) and (share(cells, _is_run) < 0.5 or _are_counted_up(cells))


def _says_run(cell: str) -> bool:
    """Whether a cell is a print run that says so: `/99`, `de 50`, and no bare number, nor `X99`."""
    says_so = "/" in cell or " " in cell
    return says_so and run_number(cell) > 0 and not cell[:1].isdigit() and cell[:1] != "#"


def _are_counted_up(cells: Sequence[str]) -> bool:
    """Whether some cells are 1, 2, 3, or 3301, 3302, 3304: lines that are counted."""
    if len(cells) > 2 and list(cells) == [str(n) for n in range(1, len(cells) + 1)]:
        return True
    numbers = [n for n in map(whole_number, cells) if n is not None]
    steps = [two - one for one, two in pairwise(numbers)]
    return len(numbers) == len(cells) > 5 and min(steps) > 0 and steps.count(1) * 2 > len(steps)


def _is_run(cell: str) -> bool:
    # `12/99` is one copy's serial number, with its run behind
    parts = [part.strip() for part in cell.split("\v")]
    return all(run_number(part) > 0 or fold(part) in NOT_THERE for part in parts)


def _set_first(plan: Plan, columns: Columns) -> Plan:
    """The plan in which cells such as `1987 Harbor Light #23` hold the set before the number."""
    for at in plan.at("number"):
        if share(columns[at], lambda cell: set_before_number(cell)[0]) >= 0.8:
            note = f"'{printable(plan.names[at], 40)}' holds the set before the number"
            return replace(plan, set_first=True, notes=(*plan.notes, note))
    return plan


def _name_for_number(plan: Plan, columns: Columns) -> Plan:
    """A column `Card` of names is the subject where no other is."""
    if not plan.has("number") or plan.set_first:
        return plan
    at = plan.at("number")[0]
    if not given(columns[at]) or share(columns[at], is_number_like) >= 0.5:
        return plan
    if plan.has("subject"):
        return plan
    said = f"'{printable(plan.names[at], 40)}' holds names, so it is the subject"
    return meant(plan, at, "subject", said)


def _card_for_subject(plan: Plan, columns: Columns) -> Plan:
    """A column `Card` of names beside the one of numbers is the subject where no other is."""
    if plan.has_subject or not plan.has("number"):
        return plan
    for at, name in enumerate(plan.names):
        is_card = not plan.meanings[at] and meaning_of(name)[0] == "number"
        if is_card and given(columns[at]) and share(columns[at], is_number_like) < 0.5:
            said = f"'{printable(name, 40)}' holds names, so it is the subject"
            return meant(plan, at, "subject", said)
    return plan


def _crossed(plan: Plan, columns: Columns) -> Plan:
    """A column `Foil` of crosses and of its print runs is one parallel, not the names of
    several."""
    for at in plan.at("parallels"):
        is_one = _is_named(plan.names[at]) and share(columns[at], _is_tick_or_run) == 1
        if is_one or are_ticks(columns[at]):
            plan = meant(plan, at, ONE_PARALLEL)
    return plan


def _is_tick_or_run(cell: str) -> bool:
    return are_ticks([cell]) or _says_run(cell)


def _is_named(heading: str) -> bool:
    """Whether a heading names a parallel, and does not only say that parallels stand below it."""
    return is_finish(heading) and not heading_key(heading).startswith("paral")


def _subjects(plan: Plan, columns: Columns) -> Plan:
    """What stands beside the subject in its own cell: a number, a team, marks, a print run."""
    if not plan.has("subject"):
        return plan
    cells = given(columns[plan.at("subject")[0]])
    if not plan.has("number"):
        plan = _joined(plan, cells)
        cells = [beside(cell, False, "", plan.joined).subject for cell in cells]
    apart = [split_behind(cell) for cell in cells]
    plan = replace(plan, behind=any(one.marks or one.parallel for one in apart))
    plan = _finish_told(plan, apart)
    names = [one.subject for one in apart]
    if not plan.has("team"):
        plan = _team_behind(_position_behind(plan, names), names)
    return _finish_held(plan, names)


def _finish_held(plan: Plan, names: Sequence[str]) -> Plan:
    """The plan that has parallels in brackets behind some subjects, where teams stand not so."""
    held = plan.team != "brackets" and any(split_finish_held(name)[1] for name in names)
    return replace(plan, behind=plan.behind or held)


def _position_behind(plan: Plan, names: Sequence[str]) -> Plan:
    """The plan that has positions in the field behind the subjects."""
    positions = [match["position"] for match in map(POSITION_BEHIND.match, names) if match]
    if not are_positions(positions, len(names)):
        return plan
    note = "short forms behind the subject are positions in the field, kept as marks"
    return replace(plan, team=POSITION, behind=True, notes=(*plan.notes, note))


def _finish_told(plan: Plan, apart: Sequence[Beside]) -> Plan:
    """The plan that says of a subject such as `Ada Marsh Gold /50` what it is read as."""
    if finish := next((one for one in apart if one.parallel and one.parallel[0] != "/"), None):
        shown = f"'{printable(finish.subject, 40)}' and the parallel '{finish.parallel}'"
        said = f"{shown} stand in one cell; check whether it is one"
        return replace(plan, unsure=(*plan.unsure, said))
    return plan


def _team_behind(plan: Plan, names: Sequence[str]) -> Plan:
    """The plan with the style in which teams stand behind the subjects."""
    if plan.team:
        return plan
    for style, pattern in TEAM_STYLES.items():
        if len(names) > 2 and share(names, pattern.match) >= 0.6 and _are_so(style, names):
            note = f"what stands {WHERE[style]} behind the subject is the team"
            plan = replace(plan, behind=plan.behind or _has_marks_before(style, names))
            if style in SURE_STYLES:
                return replace(plan, team=style, notes=(*plan.notes, note))
            return replace(plan, team=style, unsure=(*plan.unsure, note))
    if told := team_behind_word(names):
        return replace(plan, unsure=(*plan.unsure, told))
    return plan


def _has_marks_before(style: str, names: Sequence[str]) -> bool:
    """Whether marks or runs stand between subjects and teams: `Ada Marsh RC - Gulls`."""
    inner = (split_behind(split_team(name, style)[0]) for name in names)
    return any(one.marks or one.parallel for one in inner)


def _are_so(style: str, names: Sequence[str]) -> bool:
    teams = [match["team"] for match in map(TEAM_STYLES[style].match, names) if match]
    # `(front view)` is no team's name
    if sum(team[:1].islower() for team in teams) * 2 > len(teams):
        return False
    return style in ANY_TEAMS or are_teams(teams)


def _joined(plan: Plan, cells: Sequence[str]) -> Plan:
    """The plan that has the number, or the set as well, before the subject in its cell."""
    for style, pattern in JOINED_STYLES.items():
        if len(cells) > 1 and share(cells, pattern.match) >= 0.8:
            note = f"'{printable(plan.names[plan.at('subject')[0]], 40)}' holds the number as well"
            return replace(plan, joined=style, notes=(*plan.notes, note))
    return plan


def _maker_tells_apart(plan: Plan, columns: Columns) -> bool:
    """Whether two makers have a set of one name and year, or the sets of one are called by nothing
    but its name."""
    if not (plan.has("maker") and plan.has("set")):
        return plan.has("maker")
    if plan.unnamed_sets:
        return True
    maker, at = plan.at("maker")[0], [*plan.at("year"), *plan.at("set")]
    held: dict[tuple[str, ...], str] = {}
    for row, name in enumerate(columns[maker]):
        key = tuple(columns[place][row] for place in at)
        if name and held.setdefault(key, name) != name:
            return True
    return False


_STEPS = (
    *(summary_beside, ticked, counted, without_amounts, without_signs, filled_columns),
    *(titles_of_sets, year_column, date_column),
    *(_set_column, _run_column, _series_of_some, _set_first, _name_for_number),
    *(parts_beside, priced, _crossed, parallel_columns, copies_beside, runs_noted, runs_of_cards),
    *(parts_before_numbers, parts_in_blocks),
)
# what is made out from cells alone, once all headings are understood
_LATER_STEPS = (
    *(filled_blocks, _card_for_subject, missing_subject, _subjects, missing_number, dated_numbers),
    *(finishes_of_some, parts_by_numbers, kinds_of_cards, only_ones, set_by_numbers),
    *(set_by_blocks, cities_of_teams, versions_below, finishes_graded),
)
