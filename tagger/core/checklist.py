"""Checklists: what exists, as the user's own files say it.

A file is a table with a line of column names (comma, semicolon or tab) or a plain list, one card a line. What cannot
be read is named with its line; the rest counts.
"""

from __future__ import annotations

import codecs
import csv
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from tagger.core.model import Parallel, Row
from tagger.core.numbers import canonical
from tagger.core.text import fold, printable

MAX_LINE = 20_000  # characters; a longer line is no line of a checklist
MAX_QUOTED_LINES = 20  # lines that one quoted cell may run over

_COLUMNS = {
    "set": ("set", "setname", "release", "product", "series"),
    "number": ("number", "#", "no", "nr", "num", "card", "cardno", "cardnumber", "cardnr", "card#"),
    "subject": ("subject", "subjects", "name", "player", "players", "playername", "title", "cardname", "athlete"),
    "team": ("team", "teams", "club"),
    "parallels": ("parallels", "parallel", "variant", "variants", "variations"),
    "run": ("run", "printrun", "numberedto", "serialto"),
}
_MEANING = {spelling: column for column, spellings in _COLUMNS.items() for spelling in spellings}
_LIST_LINE = re.compile(
    r"^\s*(?:no\.?\s+|nr\.?\s+)?#?\s*(?P<number>[^\W_]*[0-9][^\s,;:]*?|[A-Z]{1,4}-[A-Z0-9]{1,5})"
    r"(?:\s*[.):,;]\s*|\s+[-–—]\s+|\s+)(?P<rest>\S.*)$"
)
_YEAR = re.compile(r"^(1[89]|20)[0-9]{2}(-[0-9]{2,4})?$")
_PARALLEL = re.compile(r"^(?P<name>.*?)\s*(?:#?/\s*(?P<run>[0-9]{1,7}))?$")


class Problem(NamedTuple):
    """Something in a checklist that the user should know. `line` counts from 1."""

    file: str
    line: int
    problem: str

    def sentence(self) -> str:
        """`cards.csv, line 14: no card number`."""
        return f"{self.file}, line {self.line}: {self.problem}"


@dataclass(frozen=True)
class Checklist:
    """Rows of one or several files, in the files' order, with what could not be read."""

    rows: tuple[Row, ...] = ()
    problems: tuple[Problem, ...] = ()

    @property
    def sets(self) -> dict[str, list[Row]]:
        """Rows by set, sets in the order in which they first appear."""
        found: dict[str, list[Row]] = {}
        for row in self.rows:
            found.setdefault(row.set, []).append(row)
        return found

    def parallels(self, rows: Iterable[Row]) -> list[Parallel]:
        """Each parallel that these rows have, once, in the order in which they first appear."""
        return list(dict.fromkeys(parallel for row in rows for parallel in row.parallels))


def merge(checklists: Sequence[Checklist]) -> Checklist:
    """Several files as one checklist. A card named in two files counts once, with the parallels of both."""
    if len(checklists) == 1:
        return checklists[0]
    gathered = _Gathered()
    for checklist in checklists:
        for row in checklist.rows:
            gathered.add(row)
        gathered.problems.extend(checklist.problems)
    return gathered.checklist()


def parse_checklist(data: bytes, file: str, stem: str) -> Checklist:
    """Read one file's bytes. `file` names it in problems (already printable); `stem` is the set where none is given."""
    text, trouble = _decode(data)
    gathered = _Gathered()
    if trouble:
        gathered.problems.append(Problem(file, *trouble))
    lines = _lines(text)
    if lines[0][1].startswith("sep="):  # what some spreadsheets write to say which mark parts the cells
        lines = lines[1:]
    start = next((at for at, line in enumerate(lines) if line[1].strip()), None)
    if start is None:
        gathered.problems.append(
            Problem(file, 1, "the file is empty; it needs a line of column names and a line a card")
        )
        return gathered.checklist()
    delimiter = _delimiter(lines[start : start + MAX_QUOTED_LINES])
    head, names = _header(lines[start : start + MAX_QUOTED_LINES], delimiter)
    columns = [_MEANING.get(_column_key(name), "") for name in names]
    if "subject" in columns or ("number" in columns and len(columns) > 1):
        table = _Table(file, stem, names, columns, delimiter, gathered)
        table.read(lines[start][0], iter(lines[start + head :]))
        if not gathered.rows and not gathered.problems:
            gathered.problems.append(Problem(file, lines[start][0], "there are column names, but no cards below them"))
    else:
        if len(names) > 2:
            said = "this line names no known columns, so the file is read as a plain list; see the checklist format"
            gathered.problems.append(Problem(file, lines[start][0], said))
        _read_list(lines[start:], file, stem, gathered)
    return gathered.checklist()


@dataclass
class _Gathered:
    """Rows as they come in: the same card twice becomes one row with all its parallels."""

    rows: dict[tuple[str, str, str], Row] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    lines: dict[tuple[str, str, str], int] = field(default_factory=dict)

    def add(self, row: Row, file: str = "", line: int = 0) -> None:
        key = (row.set, canonical(row.number), fold(row.subject))
        known = self.rows.get(key)
        if known is None:
            self.rows[key] = row
            if line:
                self.lines[key] = line
            return
        more = tuple(p for p in row.parallels if p not in known.parallels)
        if more:
            self.rows[key] = known._replace(parallels=known.parallels + more)
        elif known.parallels and not row.parallels:
            return  # the base card's own line in a list with a line a parallel
        elif line and key in self.lines:
            self.problems.append(Problem(file, line, f"the same card stands in line {self.lines[key]}; counted once"))

    def checklist(self) -> Checklist:
        return Checklist(tuple(self.rows.values()), tuple(self.problems))


def _decode(data: bytes) -> tuple[str, tuple[int, str] | None]:
    """The text of a file, and where its encoding is in doubt, the line and the reason."""
    for mark, encoding in (
        (codecs.BOM_UTF8, "utf-8-sig"),
        (codecs.BOM_UTF16_LE, "utf-16"),
        (codecs.BOM_UTF16_BE, "utf-16"),
    ):
        if data.startswith(mark):
            text = data.decode(encoding, errors="replace")
            return text, _replaced(text, encoding)
    try:
        return data.decode("utf-8"), None
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
    try:
        return data.decode("cp1252"), None
    except UnicodeDecodeError:
        return data.decode("utf-8", errors="replace"), (
            line,
            "the text is neither UTF-8 nor cp1252; some letters are lost, so save the file as UTF-8",
        )


def _replaced(text: str, encoding: str) -> tuple[int, str] | None:
    index = text.find("\ufffd")
    if index < 0:
        return None
    return text.count(
        "\n", 0, index
    ) + 1, f"some letters are no valid {encoding.removesuffix('-sig').upper()} and are lost"


def _lines(text: str) -> list[tuple[int, str]]:
    """(line number, text) of each line. Only CR, LF and CRLF end a line, as in RFC 4180."""
    return list(enumerate(text.replace("\r\n", "\n").replace("\r", "\n").split("\n"), start=1))


def _column_key(name: str) -> str:
    key = "".join(c for c in fold(name) if c.isalnum() or c == "#")
    return key or name.strip()


def _delimiter(lines: list[tuple[int, str]]) -> str:
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
class _Table:
    """Reads the lines below a line of column names."""

    file: str
    stem: str
    names: list[str]
    columns: list[str]
    delimiter: str
    into: _Gathered
    _parallels: dict[str, tuple[Parallel, ...]] = field(default_factory=dict)

    def read(self, header_line: int, lines: Iterator[tuple[int, str]]) -> None:
        place: dict[str, int] = {}
        for index, column in enumerate(self.columns):
            if column:
                place.setdefault(column, index)
        used = set(place.values())
        further = [(i, " ".join(n.split())) for i, n in enumerate(self.names) if i not in used and n.strip()]
        if "number" not in place:
            self._problem(
                header_line, "no column for the number (number, #, no, card); cards are found by subject only"
            )
        if "subject" not in place:
            self._problem(header_line, "no column for the subject (subject, name, player, title); found by number only")
        for line, cells in self._records(lines):
            self._row(line, cells, place, further)

    def _problem(self, line: int, text: str) -> None:
        self.into.problems.append(Problem(self.file, line, text))

    def _row(self, line: int, cells: list[str], place: dict[str, int], further: list[tuple[int, str]]) -> None:
        if len(cells) < len(self.names):
            cells = cells + [""] * (len(self.names) - len(cells))
        elif len(cells) > len(self.names) and any(cell.strip() for cell in cells[len(self.names) :]):
            self._problem(line, f"{len(cells)} cells, but {len(self.names)} column names; the line is left out")
            return

        def cell(column: str) -> str:
            index = place.get(column)
            return "" if index is None else " ".join(cells[index].split())

        number, subject = cell("number").lstrip("#").strip(), cell("subject")
        if not number and not subject:
            self._problem(line, "neither a number nor a subject; the line is left out")
            return
        if "number" in place and not number:
            self._problem(line, f"no card number for {printable(subject, 60)}; found by subject only")
        parallels = self._parallel_cell(cell("parallels"), cell("run"))
        extra = tuple((name, cells[index].strip()) for index, name in further)
        self.into.add(Row(cell("set") or self.stem, number, subject, cell("team"), parallels, extra), self.file, line)

    def _parallel_cell(self, text: str, run: str) -> tuple[Parallel, ...]:
        if run.lstrip("/").isdigit() and "/" not in text and ";" not in text:
            text = f"{text} /{run.lstrip('/')}"
        known = self._parallels.get(text)
        if known is None:
            known = self._parallels[text] = parse_parallels(text)
        return known

    def _records(self, lines: Iterator[tuple[int, str]]) -> Iterator[tuple[int, list[str]]]:
        """Records with the number of their first line. A quoted cell may run over several lines."""
        waiting: list[tuple[int, str]] = []
        again: list[tuple[int, str]] = []
        while True:
            item = again.pop() if again else next(lines, None)
            if item is None:
                if not waiting:
                    return
            else:
                line, text = item
                if not waiting and not text.strip():
                    continue
                if reason := _unreadable(text):
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


def _header(lines: list[tuple[int, str]], delimiter: str) -> tuple[int, list[str]]:
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


def _unreadable(text: str) -> str:
    """Why a line cannot be one of a checklist, empty where it can."""
    if len(text) > MAX_LINE:
        return f"the line is {len(text):,} characters long; no card needs more than {MAX_LINE:,}, so it is left out"
    if "\0" in text:
        return "the line holds NUL bytes, so this is no text file or not in UTF-8; the line is left out"
    return ""


def _read_list(lines: list[tuple[int, str]], file: str, stem: str, into: _Gathered) -> None:
    """A plain list: `23 Ada Marsh, Harbor Gulls`. The first line may be the set's name."""
    filled = [(line, text.strip()) for line, text in lines if text.strip()]
    name = stem
    if filled and _is_title(filled):
        name = " ".join(filled[0][1].lstrip("#").split())[:MAX_LINE]
        filled = filled[1:]
        if not filled:
            into.problems.append(Problem(file, 1, "no line of column names and no cards; see the checklist format"))
    for line, text in filled:
        if reason := _unreadable(text):
            into.problems.append(Problem(file, line, reason))
            continue
        match = _LIST_LINE.match(text)
        if match is None:
            shown = printable(text, 40)
            into.problems.append(Problem(file, line, f"no card number at the start of '{shown}'; the line is left out"))
            continue
        subject, _, team = (part.strip() for part in match["rest"].replace("\t", ",").partition(","))
        into.add(Row(name, match["number"], " ".join(subject.split()), " ".join(team.split())), file, line)


def _is_title(filled: list[tuple[int, str]]) -> bool:
    """Whether the first filled line names the set: no card line, or one that starts with a year."""
    first = _LIST_LINE.match(filled[0][1])
    if _unreadable(filled[0][1]):
        return False
    if first is None:
        return True
    if not _YEAR.match(first["number"]) or "," in filled[0][1]:
        return False
    second = _LIST_LINE.match(filled[1][1]) if len(filled) > 1 else None
    return second is None or not _YEAR.match(second["number"])
