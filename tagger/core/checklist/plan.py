"""How the columns of one table are read, decided from its first lines before any card is made."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

from tagger.core.checklist.headings import ONE_PARALLEL, heading_key
from tagger.core.checklist.numbers_read import is_float, is_number_like, tidy_number
from tagger.core.checklist.parallels import (
    CROSSES,
    NOT_THERE,
    is_finish,
    run_number,
    says_parallel,
)
from tagger.core.model.text import fold

SURVEYED = 5000  # lines of a table that are looked at first

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
        "manca", "heb", "mist", "notes", "note", "remarks", "age", "born", "weight", "height",
        "wins", "losses", "games",
    ]
)  # fmt: skip
_LAST_RC = re.compile(r"^(?P<name>.*\S)\s+[(\[]?(?P<mark>RC|R\.C\.|\(RC\))[)\]]?$")
_BRACKETS = re.compile(r"^(?P<name>[^()\[\]]*[^()\[\]\s])\s*[(\[](?P<team>[^()\[\]]+)[)\]]$")
_DASH = re.compile(r"^(?P<name>.*?\S)\s+[-–—]\s+(?P<team>\S.*)$")
_SET_NAME = re.compile(r"^(?:1[89]|20)[0-9]{2}(?:[-/][0-9]{2,4})?\s+[^\W\d_]{2}")
TEAM_STYLES = {"brackets": _BRACKETS, "dash": _DASH}


@dataclass(frozen=True)
class Plan:
    """The columns by heading and meaning; `fills`: those whose empty cells are those of merged
    ones; `team`: how the team stands behind the subject, empty where it has a column or none is
    given; `rookie`: whether `RC` behind a subject is a mark; `floats`: whether numbers came as
    `23.0`; `with_maker`: whether the maker is part of the set's name."""

    names: tuple[str, ...]
    meanings: tuple[str, ...]
    fills: frozenset[int] = frozenset()
    team: str = ""
    rookie: bool = False
    floats: bool = False
    with_maker: bool = False
    notes: tuple[str, ...] = field(default=())
    unsure: tuple[str, ...] = field(default=())

    def at(self, meaning: str) -> list[int]:
        """The columns that have a meaning."""
        return [place for place, each in enumerate(self.meanings) if each == meaning]

    def has(self, meaning: str) -> bool:
        """Whether a column has a meaning."""
        return meaning in self.meanings

    @property
    def has_subject(self) -> bool:
        """Whether a column, or two, hold the subject."""
        return self.has("subject") or self.has("last")


def planned(names: Sequence[str], meanings: Sequence[str], rows: Sequence[Sequence[str]]) -> Plan:
    """A plan from the column names and the cells of some first rows, each as wide as the names."""
    plan = Plan(tuple(names), tuple(meanings))
    columns = [[row[at].strip() for row in rows] for at in range(len(names))]
    steps = (_set_column, _run_column, _name_for_number, _parallel_columns, _crossed)
    for step in (*steps, _filling, _subjects):
        plan = step(plan, columns)
    number = plan.at("number")
    given = [cell for cell in columns[number[0]] if cell] if number else []
    floats = [cell for cell in given if is_float(cell)]
    if floats and all(is_float(cell) or not cell.isdigit() for cell in given):
        plan = replace(plan, floats=True)
    return replace(plan, with_maker=_maker_tells_apart(plan, columns))


Columns = Sequence[Sequence[str]]


def _given(cells: Sequence[str]) -> list[str]:
    return [cell for cell in cells if cell]


def _share(cells: Sequence[str], test: Callable[[str], object]) -> float:
    given = _given(cells)
    return sum(1 for cell in given if test(cell)) / len(given) if given else 0.0


def _meant(plan: Plan, at: int, meaning: str, note: str = "") -> Plan:
    meanings = (*plan.meanings[:at], meaning, *plan.meanings[at + 1 :])
    return replace(plan, meanings=meanings, notes=(*plan.notes, *filter(None, [note])))


def _set_column(plan: Plan, columns: Columns) -> Plan:
    """A column of an unknown name in which years stand before names is the set, if no other is."""
    if plan.has("set") or plan.has("year"):
        return plan
    for at, name in enumerate(plan.names):
        if plan.meanings[at] or not name or _share(columns[at], _is_set_name) < 0.8:
            continue
        said = f"'{name}' is not known as a heading; by its cells it is the set"
        return replace(_meant(plan, at, "set"), unsure=(*plan.unsure, said))
    return plan


def _is_set_name(cell: str) -> bool:
    return _SET_NAME.match(cell) is not None


def _run_column(plan: Plan, columns: Columns) -> Plan:
    """`/99` in a column of its own, whatever it is called; and one called so that holds none."""
    for at in plan.at("run"):
        if _given(columns[at]) and _share(columns[at], _is_run) < 0.5:
            plan = _meant(plan, at, "")
    for at, name in enumerate(plan.names):
        if plan.meanings[at] or plan.has("run") or is_finish(name):
            continue
        if _share(columns[at], lambda cell: cell.startswith("/") and run_number(cell)) > 0.9:
            plan = _meant(plan, at, "run")
    return plan


def _is_run(cell: str) -> bool:
    # `12/99` is one copy's serial number, with its run behind
    return run_number(cell) > 0 or fold(cell) in NOT_THERE


def _name_for_number(plan: Plan, columns: Columns) -> Plan:
    """A column `Card` of names is the subject where no other is."""
    if not plan.has("number"):
        return plan
    at = plan.at("number")[0]
    if not _given(columns[at]) or _share(columns[at], is_number_like) >= 0.5:
        return plan
    if plan.has("subject"):
        return plan
    return _meant(plan, at, "subject", f"'{plan.names[at]}' holds names, so it is the subject")


def _parallel_columns(plan: Plan, columns: Columns) -> Plan:
    """Unknown columns of crosses or print runs are a parallel each."""
    marked = [
        at
        for at, name in enumerate(plan.names)
        if name and not plan.meanings[at] and _may_be_parallel(name, columns[at])
    ]
    counted = [
        at
        for at, name in enumerate(plan.names)
        if not plan.meanings[at] and is_finish(name) and _are_counts(columns[at])
    ]
    # `1` beside a column of 2 and 3 is a count as well, and no cross
    marked = [at for at in marked if not (counted and set(_given(columns[at])) <= {"0", "1"})]
    sure = [at for at in marked if is_finish(plan.names[at])]
    unsure: list[int] = []
    for at in marked:
        beside = at - 1 in marked or at + 1 in marked
        if at in sure or (beside and sure) or _is_only_runs(columns[at]):
            plan = _meant(plan, at, ONE_PARALLEL)
        elif _are_crosses(columns[at]):
            unsure.append(at)
    plan = _told(plan, unsure, "crosses")
    return _told(plan, counted, "numbers")


def _told(plan: Plan, columns: Sequence[int], hold: str) -> Plan:
    """The plan that says of some columns that they may be parallels."""
    if not columns:
        return plan
    names = ", ".join(f"'{plan.names[at]}'" for at in columns)
    said = (
        f"{names}: {hold} that may mean a parallel; kept as they are (if they do: --columns "
        f"'{plan.names[columns[0]]}={ONE_PARALLEL}')"
    )
    return replace(plan, unsure=(*plan.unsure, said))


def _are_counts(cells: Sequence[str]) -> bool:
    """Whether some cells have small whole numbers other than 1."""
    given = _given(cells)
    return all(cell.isdigit() for cell in given) and any("2" <= cell <= "4" for cell in given)


def _are_crosses(cells: Sequence[str]) -> bool:
    """Whether each cell that says something has a cross, and none a number."""
    given = {fold(cell) for cell in cells if cell} - NOT_THERE
    return bool(given) and given <= CROSSES


def _may_be_parallel(name: str, cells: Sequence[str]) -> bool:
    if not _OTHER_MARKS.isdisjoint(re.findall(r"[^\W_]+", fold(name))):
        return False
    return bool(_given(cells)) and _share(cells, says_parallel) == 1 and _says_there(cells)


def _says_there(cells: Sequence[str]) -> bool:
    """Whether crosses and runs are among the cells, and no counts: 1, 2, 3."""
    given = {fold(cell) for cell in cells if cell} - NOT_THERE
    counts = {cell for cell in given if cell.isdigit() and int(cell) < 5}
    return bool(given) and (not counts or counts == given == {"1"})


def _is_only_runs(cells: Sequence[str]) -> bool:
    """Whether each cell that says something says a print run with its slash."""
    given = [cell for cell in cells if fold(cell) not in NOT_THERE]
    return bool(given) and all("/" in cell and run_number(cell) for cell in given)


def _crossed(plan: Plan, columns: Columns) -> Plan:
    """A column `Foil` of crosses is one parallel, not the names of several."""
    for at in plan.at("parallels"):
        cells = [fold(cell) for cell in columns[at] if cell]
        if cells and all(cell in CROSSES or cell in NOT_THERE for cell in cells):
            plan = _meant(plan, at, ONE_PARALLEL)
    return plan


def _filling(plan: Plan, columns: Columns) -> Plan:
    """Columns that are full in blocks: the cells below the first of a block were merged with it."""
    cards = _cards(plan, columns)
    fills = {
        at
        for at, meaning in enumerate(plan.meanings)
        if meaning in ("set", "year", "maker") and cards and columns[at][cards[0]]
    }
    for at, meaning in enumerate(plan.meanings):
        if meaning in ("series", "team") and _in_blocks([columns[at][row] for row in cards]):
            fills.add(at)
    return replace(plan, fills=frozenset(fills))


def _cards(plan: Plan, columns: Columns) -> list[int]:
    """The rows that have a number, or where no column is one, a subject."""
    key = plan.at("number") or plan.at("subject")
    return [row for row, cell in enumerate(columns[key[0]]) if cell] if key else []


def _in_blocks(cells: Sequence[str]) -> bool:
    given = _given(cells)
    if len(cells) < 3 or not cells[0] or len(set(given)) < len(given):
        return False
    return len(given) * 2 <= len(cells)


def _subjects(plan: Plan, columns: Columns) -> Plan:
    """What stands behind the subject in its own cell: a team, `RC`."""
    if not plan.has("subject"):
        return plan
    cells = _given(columns[plan.at("subject")[0]])
    marked = [match["name"] for cell in cells if (match := _LAST_RC.match(cell))]
    plan = replace(plan, rookie=bool(marked))
    if plan.has("team"):
        return plan
    names = [split_rookie(cell)[0] for cell in cells]
    for style, pattern in TEAM_STYLES.items():
        if len(names) > 2 and _share(names, pattern.match) >= 0.6:
            where = "in brackets" if style == "brackets" else "behind a dash"
            note = f"what stands {where} behind the subject is the team"
            return replace(plan, team=style, notes=(*plan.notes, note))
    return plan


def split_rookie(subject: str) -> tuple[str, str]:
    """A subject without `RC` behind it, and the mark."""
    match = _LAST_RC.match(subject)
    return (match["name"], "RC") if match else (subject, "")


def split_team(subject: str, style: str) -> tuple[str, str]:
    """A subject and the team behind it, in one of TEAM_STYLES; no team where it has none."""
    match = TEAM_STYLES[style].match(subject) if style else None
    return (match["name"], match["team"].strip()) if match else (subject, "")


def _maker_tells_apart(plan: Plan, columns: Columns) -> bool:
    """Whether two makers have a set of one name and year."""
    if not (plan.has("maker") and plan.has("set")):
        return plan.has("maker")
    maker, at = plan.at("maker")[0], [*plan.at("year"), *plan.at("set")]
    held: dict[tuple[str, ...], str] = {}
    for row, name in enumerate(columns[maker]):
        key = tuple(columns[place][row] for place in at)
        if name and held.setdefault(key, name) != name:
            return True
    return False


def headings_again(plan: Plan, cells: Sequence[str]) -> bool:
    """Whether a line is the column names once more, as at the top of each printed page."""
    pairs = [
        (heading_key(cell), heading_key(name))
        for cell, name in zip(cells, plan.names, strict=False)
        if cell.strip()
    ]
    return len(pairs) > 1 and all(one == two for one, two in pairs)


def number_of_cell(text: str, floats: bool) -> str:
    """A card's number as its cell has it."""
    number = tidy_number(text)
    if floats and is_float(number):
        return number.split(".")[0]
    return number
