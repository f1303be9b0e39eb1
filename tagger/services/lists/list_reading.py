"""How a list was read, in a few lines, before it counts; and what the user says of its columns."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.checklist.headings.meaning import shown_meaning
from tagger.core.model.counted import counted
from tagger.core.model.text import printable
from tagger.errors import TaggerError
from tagger.services.lists.naming import list_names
from tagger.store.checklists import checklist_files
from tagger.store.machine.known_lists import lists_now
from tagger.store.machine.paths import data_folder
from tagger.store.machine.state_file import StateFile
from tagger.store.standard_streams import STDIO

if TYPE_CHECKING:
    from tagger.core.checklist.checklist import Checklist
    from tagger.core.checklist.oddities import Problem
    from tagger.core.checklist.reading import TableReading
    from tagger.core.model.tags import Row
    from tagger.store.list_names import ListNames

LONGEST = 300  # characters of a line


class ReadingSummary(NamedTuple):
    """How a list was read, in at most six lines of plain text. `fingerprint` stands for this very
    reading of this very content, `renamed` for it whatever the file is called; `sure`: nothing
    about it is odd."""

    lines: tuple[str, ...]
    fingerprint: str
    renamed: str
    sure: bool


def fingerprint_of(path: Path, names: ListNames | None = None) -> str:
    """What stands for the reading of a list, without reading its rows. Raises LotError,
    ConfigError."""
    from tagger.store.checklists import content_digest

    return content_digest(path, list_names() if names is None else names)


def summary_of(path: Path, names: ListNames | None = None) -> ReadingSummary:
    """The list read, and how. Raises LotError where it cannot be read at all, ConfigError."""
    from tagger.store.checklists import content_digest
    from tagger.store.read_lists import read_checklist

    names = list_names() if names is None else names
    checklist = read_checklist(path, names)
    lines = (
        _counts(path, checklist),
        _columns(checklist),
        *(row_told(row) for row in sample_rows(checklist)),
        _odd(checklist),
    )
    told = tuple(printable(line, LONGEST) for line in lines if line)
    # A list that does not name its sets is another one under another name.
    renamed = content_digest(path, names, ["", *checklist.sets])
    return ReadingSummary(told, fingerprint_of(path, names), renamed, not checklist.problems)


def _counts(path: Path, checklist: Checklist) -> str:
    sets = checklist.sets
    named = ", ".join(printable(name, 60) for name in list(sets)[:3])
    more = f" and {len(sets) - 3} more" if len(sets) > 3 else ""
    return (
        f"{printable(path.name, 40)}: {counted(len(checklist.rows), 'card')} in "
        f"{counted(len(sets), 'set')}: {named}{more}"
    )


def _columns(checklist: Checklist) -> str:
    for reading in checklist.readings:
        if reading.columns:
            return columns_told(reading)
    return "read as a plain list: number, subject, team"


def columns_told(reading: TableReading) -> str:
    """`No. = number · Player = subject · Gold, Silver = one parallel each · Notes = kept`."""
    parts: dict[str, list[str]] = {}
    for heading, meaning in reading.columns:
        if heading:
            parts.setdefault(meaning, []).append(printable(heading, 30))
    kept = parts.pop("", [])
    told = [f"{', '.join(names)} = {shown_meaning(meaning)}" for meaning, names in parts.items()]
    if kept:
        told.append(f"{', '.join(kept)} = kept as {'it is' if len(kept) == 1 else 'they are'}")
    return " · ".join(told)


def sample_rows(checklist: Checklist) -> list[Row]:
    """The first row, one of the middle and the last, as they were understood."""
    rows = checklist.rows
    places = dict.fromkeys((0, len(rows) // 2, len(rows) - 1))
    return [rows[at] for at in places if 0 <= at < len(rows)]


def row_told(row: Row) -> str:
    """`1987 Harbor Light #23 Ada Marsh, Harbor Gulls; Gold /50, Silver`."""
    parallels = ", ".join(
        f"{name} /{run}" if run and not name.startswith("/") else name
        for name, run in row.parallels
    )
    number = f"#{row.number} " if row.number else ""
    told = ", ".join(filter(None, (f"{row.set} {number}{row.subject}".strip(), row.team)))
    extra = ", ".join(f"{name} {value}" for name, value in row.extra if value)
    return printable("; ".join(filter(None, (told, parallels, extra))), 200)


def notes_of(checklist: Checklist, file: str) -> list[str]:
    """What was done to read a list, each with the sheet where there are several."""
    return [
        f"{sheet}, {note}" if (sheet := sheet_of(reading.file, file)) else note
        for reading in checklist.readings
        for note in reading.notes
    ]


def sheet_of(called: str, file: str) -> str:
    """`sheet Rookies` of what is called `harbor.xlsx, sheet Rookies` in problems."""
    return called.removeprefix(file).strip(", ")


def _odd(checklist: Checklist) -> str:
    problems = checklist.problems
    if not problems:
        return "nothing odd in it"
    first = problems[0]
    where = f"line {first.line}: " if first.line and first.lines == 1 else ""
    if len(problems) == 1:
        return f"odd: {where}{first.problem}"
    return f"odd ({len(problems)}): {where}{first.problem}"


SMALL = 2_000_000  # bytes; a larger list is read a second time only where something is odd


class ListQuestions:
    """The lists of a lot that nobody has looked at yet. Silent where one cannot be read: that is
    told where it is read."""

    def __init__(self, names: ListNames) -> None:
        self._names = names
        self._seen: StateFile[str] = StateFile(
            data_folder(),
            "lists_seen",
            "reading",
            lambda entry: str(entry["list"]),
            lambda name: {"list": name},
        )

    def of(
        self, checklists: Sequence[str], problems: Sequence[Problem]
    ) -> tuple[list[ReadingSummary], list[Problem]]:
        """What there is to ask of some lists, in their order; and of the `problems` that were found
        in them those that neither the questions tell nor anybody has looked at."""
        odd = {problem.file for problem in problems}
        asked: list[ReadingSummary] = []
        told: set[str] = set()
        looked_at: set[str] = set()
        for path in checklist_files([Path(path) for path in lists_now(checklists)]):
            here = _told_of(path, odd)
            if (question := self._question(path, bool(here))) is not None:
                asked.append(question)
                told |= here
            elif here and self._was_seen(path):
                looked_at |= here
        # of a whole file: that it cannot be read is told every time
        left = [one for one in problems if not one.line or one.file not in looked_at]
        return asked, [one for one in left if one.file not in told]

    def seen(self, summary: ReadingSummary) -> None:
        """It was looked at: the same content read in the same way is not asked about again."""
        for stands_for in (summary.fingerprint, summary.renamed):
            self._seen.put(stands_for, summary.lines[0])

    def _question(self, path: Path, odd: bool) -> ReadingSummary | None:
        try:
            # asked first of all: nearly always the list is an old one
            if path == STDIO or not (odd or path.stat().st_size <= SMALL):
                return None
            if self._was_seen(path):
                return None
            summary = summary_of(path, self._names)
            if self._seen.get(summary.renamed) is not None:
                self.seen(summary)
                return None
            if odd or not summary.sure:
                return summary
            if notes := self._notes(path):
                # in the place of the line that says that nothing is odd
                told = printable("; ".join(notes), LONGEST)
                return summary._replace(lines=(*summary.lines[:-1], told))
        except (OSError, TaggerError):
            return None
        self.seen(summary)
        return None

    def _was_seen(self, path: Path) -> bool:
        try:
            return self._seen.get(fingerprint_of(path, self._names)) is not None
        except (OSError, TaggerError):
            return False

    def _notes(self, path: Path) -> list[str]:
        """Which lines were left out, and which cells filled, to read the list."""
        from tagger.store.read_lists import read_checklist

        return notes_of(read_checklist(path, self._names), printable(path.name))


def _told_of(path: Path, odd: Iterable[str]) -> set[str]:
    """Those of some names of files and sheets that are of a file: each sheet of a workbook is told
    by itself, and the file is looked at as a whole."""
    name = printable(path.name)
    return {one for one in odd if one == name or one.startswith(f"{name}, sheet ")}
