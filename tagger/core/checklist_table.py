"""Reading a checklist's lines: a table below a line of column names."""

from __future__ import annotations

import csv
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from tagger.core.checklist import Gathered
from tagger.core.columns import Extra
from tagger.core.model import Parallel
from tagger.core.text import fold, printable

MAX_LINE = 20_000  # characters; a longer line is no line of a checklist
MAX_QUOTED_LINES = 20  # lines that one quoted cell may run over

_COLUMNS = {
    "set": ("set", "setname", "release", "product", "series"),
    "number": ("number", "#", "no", "nr", "num", "card", "cardno", "cardnumber", "cardnr", "card#"),
    "subject": ("subject", "subjects", "name", "player", "players", "playername", "title", "cardname", "athlete"),
    "team": ("team", "teams", "club"),
    "parallels": ("parallels", "parallel", "variant", "variants", "variations"),
    "alias": ("alias", "aliases", "alsoknownas", "romanized", "latin"),
    "run": ("run", "printrun", "numberedto", "serialto"),
}
_MEANING = {spelling: column for column, spellings in _COLUMNS.items() for spelling in spellings}
_PARALLEL = re.compile(r"^(?P<name>.*?)\s*(?:#?/\s*(?P<run>[0-9]{1,7}))?$")

Line = tuple[int, str]


def columns_of(names: list[str]) -> list[str]:
    """What each column name means: set, number, subject, team, parallels, run, or empty for a further column."""
    return [_MEANING.get(_column_key(name), "") for name in names]


def _column_key(name: str) -> str:
    key = "".join(c for c in fold(name) if c.isalnum() or c == "#")
    return key or name.strip()


def delimiter_of(lines: list[tuple[int, str]]) -> str:
    """The mark that parts the column names: the most frequent one up to where all quotation marks are closed."""
    header = ""
    for _, text in lines:
        header += text[:MAX_LINE]
        if header.count('"') % 2 == 0:
            break
    return max("\t;,", key=lambda mark: header.count(mark))


def parse_parallels(text: str) -> tuple[Parallel, ...]:
    """`Gold /50; Silver` as parallels; `|` parts them too, and a comma where there is no semicolon."""
    if not text.strip():
        return ()
    mark = next((m for m in ";|" if m in text), ",")
    found: list[Parallel] = []
    for part in text.split(mark):
        match = _PARALLEL.match(part.strip())
        if match and (match["name"] or match["run"]):
            run = int(match["run"]) if match["run"] else None
            name = match["name"] or f"/{run}"
            if run == 1 and (name == "1" or name.endswith(" 1")):  # `Black 1/1`: a card made once
                name = name[:-2].strip() or "1/1"
            found.append(Parallel(" ".join(name.split()), run or None))
    return tuple(dict.fromkeys(found))


@dataclass
class Table:
    """Reads the lines below a line of column names into `into`. `file` is printable; `stem` is the set where none is
    given."""

    file: str
    stem: str
    names: list[str]
    delimiter: str
    into: Gathered

    def read(self, header_line: int, lines: Iterator[Line]) -> None:
        """Read all lines; what cannot be read becomes a problem."""
        place: dict[str, int] = {}
        for index, column in enumerate(columns_of(self.names)):
            if column:
                place.setdefault(column, index)
        if "number" not in place:
            self._problem(
                header_line, "no column for the number (number, #, no, card); cards are found by subject only"
            )
        if "subject" not in place:
            self._problem(header_line, "no column for the subject (subject, name, player, title); found by number only")
        rows = self.into.rows
        sets = self._ids(place.get("set"), lambda raw: rows.sets.id(_tidy(raw) or self.stem))
        numbers = self._ids(place.get("number"), lambda raw: rows.numbers.id(_tidy(raw).lstrip("#").strip()))
        subjects = self._ids(place.get("subject"), lambda raw: rows.subjects.id(_tidy(raw)))
        teams = self._ids(place.get("team"), lambda raw: rows.teams.id(_tidy(raw)))
        parallels = self._parallel_ids(place)
        alias = place.pop("alias", None)  # kept as a further column as well
        extras = self._extra_ids(set(place.values()))
        no_number, no_subject = rows.numbers.id(""), rows.subjects.id("")
        width, add, file = len(self.names), self.into.add_ids, self.file
        for line, cells in self._records(lines):
            if len(cells) != width and not self._fits(line, cells):
                continue
            number, subject = numbers(cells), subjects(cells)
            if number == no_number:
                if subject == no_subject:
                    self._problem(line, "neither a number nor a subject; the line is left out")
                    continue
                if "number" in place:
                    said = printable(rows.subjects.values[subject], 60)
                    self._problem(line, f"no card number for {said}; found by subject only")
            if alias is not None:
                rows.also(subject, _tidy(cells[alias]))
            add(sets(cells), number, subject, teams(cells), parallels(cells), extras(cells), file, line)

    def _problem(self, line: int, text: str) -> None:
        self.into.problem(self.file, line, text)

    def _fits(self, line: int, cells: list[str]) -> bool:
        """Whether a line of another length can be read; missing cells at its end are put in as empty."""
        width = len(self.names)
        if len(cells) > width and any(cell.strip() for cell in cells[width:]):
            self._problem(line, f"{len(cells)} cells, but {width} column names; the line is left out")
            return False
        cells.extend([""] * (width - len(cells)))
        return True

    def _ids(self, at: int | None, make: Callable[[str], int]) -> Callable[[list[str]], int]:
        """From a line's cells to the number of one column's value; each distinct text is tidied once."""
        if at is None:
            fixed = make("")
            return lambda cells: fixed
        known: dict[str, int] = {}

        def id(cells: list[str]) -> int:
            raw = cells[at]
            found = known.get(raw)
            if found is None:
                found = known[raw] = make(raw)
            return found

        return id

    def _parallel_ids(self, place: dict[str, int]) -> Callable[[list[str]], int]:
        column = self.into.rows.parallels
        names, runs = place.get("parallels"), place.get("run")
        if runs is None:
            return self._ids(names, lambda raw: column.id(parse_parallels(_tidy(raw))))
        known: dict[tuple[str, str], int] = {}

        def id(cells: list[str]) -> int:
            raw = ("" if names is None else cells[names], cells[runs])
            found = known.get(raw)
            if found is None:
                text, run = _tidy(raw[0]), _tidy(raw[1])
                if run.lstrip("/").isdigit() and "/" not in text and ";" not in text:
                    text = f"{text} /{run.lstrip('/')}"
                found = known[raw] = column.id(parse_parallels(text))
            return found

        return id

    def _extra_ids(self, used: set[int]) -> Callable[[list[str]], int]:
        column = self.into.rows.extras
        further = [(at, _tidy(name)) for at, name in enumerate(self.names) if at not in used and name.strip()]
        if not further:
            none = column.id(())
            return lambda cells: none
        if len(further) == 1:
            at, name = further[0]
            return self._ids(at, lambda raw: column.id(((name, raw.strip()),)))

        def id(cells: list[str]) -> int:
            extra: Extra = tuple((name, cells[at].strip()) for at, name in further)
            return column.id(extra)

        return id

    def _records(self, lines: Iterator[Line]) -> Iterator[tuple[int, list[str]]]:
        """Records with the number of their first line. A quoted cell may run over several lines."""
        waiting: list[Line] = []
        again: list[Line] = []
        while True:
            item = again.pop() if again else next(lines, None)
            if item is None:
                if not waiting:
                    return
            else:
                line, text = item
                if not waiting:
                    if '"' not in text and len(text) <= MAX_LINE and "\0" not in text:
                        if text and not text.isspace():
                            cells = text.split(self.delimiter)
                            if any(cells) and not text.replace(self.delimiter, "").isspace():
                                yield line, cells
                        continue
                    if not text.strip():
                        continue
                if reason := unreadable(text):
                    self._problem(line, reason)
                    continue
                waiting.append(item)
            whole = "\n".join(text for _, text in waiting)
            if is_open(whole, self.delimiter):
                if item is not None and len(waiting) < MAX_QUOTED_LINES:
                    continue
                self._problem(waiting[0][0], "a quotation mark is opened and not closed; the line is left out")
                again.extend(reversed(waiting[1:]))
                waiting = []
                continue
            start = waiting[0][0]
            waiting = []
            try:
                cells = next(csv.reader(whole.splitlines(keepends=True), delimiter=self.delimiter), [])
            except csv.Error as error:
                self._problem(start, f"the line cannot be read ({error}); it is left out")
                continue
            if any(cell.strip() for cell in cells):
                yield start, cells


def _tidy(text: str) -> str:
    return " ".join(text.split())


def header_of(lines: list[Line], delimiter: str) -> tuple[int, list[str]]:
    """How many lines the column names take, and the names; a name in quotes may run over several lines."""
    for count in range(1, len(lines) + 1):
        whole = "\n".join(text for _, text in lines[:count])
        if len(whole) > MAX_LINE:
            break
        if not is_open(whole, delimiter):
            return count, next(csv.reader(whole.splitlines(keepends=True), delimiter=delimiter), [])
    return 1, next(csv.reader([lines[0][1][:MAX_LINE]], delimiter=delimiter), [])


def is_open(text: str, delimiter: str) -> bool:
    """Whether a cell that starts with a quotation mark is still open at the end of the text (RFC 4180, 2.5 to 2.7)."""
    if '"' not in text:
        return False
    at = 0
    while True:
        if text[at : at + 1] == '"':
            at += 1
            while True:
                at = text.find('"', at)
                if at < 0:
                    return True
                if text[at + 1 : at + 2] != '"':
                    break
                at += 2
        at = text.find(delimiter, at)
        if at < 0:
            return False
        at += 1


def unreadable(text: str) -> str:
    """Why a line cannot be one of a checklist, empty where it can."""
    if len(text) > MAX_LINE:
        return f"the line is {len(text):,} characters long; no card needs more than {MAX_LINE:,}, so it is left out"
    if "\0" in text:
        return "the line holds NUL bytes, so this is no text file or not in UTF-8; the line is left out"
    return ""
