"""How a list was read, in a few lines, before it counts; and what the user says of its columns."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.checklist.headings import shown_meaning
from tagger.core.model.counted import counted
from tagger.core.model.text import printable
from tagger.store.list_names import ListCorrections, ListNames, keyed
from tagger.store.machine.paths import config_file

if TYPE_CHECKING:
    from tagger.config import Settings
    from tagger.core.checklist.checklist import Checklist
    from tagger.core.checklist.reading import TableReading
    from tagger.core.model.tags import Row

_WIDTH = 76  # columns of a line of the summary


def list_names(settings: Settings | None = None) -> ListNames:
    """What the user says that the columns of lists are. Raises ConfigError."""
    if settings is None:
        from tagger.config import load_settings

        settings = load_settings(config_file())
    lists = {name: keyed(columns) for name, columns in settings.lists.items()}
    return ListNames(keyed(settings.columns), lists, ListCorrections().all())


class ReadingSummary(NamedTuple):
    """How a list was read, in at most six lines of plain text. `fingerprint` stands for this very
    reading of this very content; `sure`: nothing about it is odd."""

    lines: tuple[str, ...]
    fingerprint: str
    sure: bool


def fingerprint_of(path: Path, names: ListNames | None = None) -> str:
    """What stands for the reading of a list, without reading its rows. Raises LotError,
    ConfigError."""
    from tagger.store.checklists import content_digest

    return content_digest(path, list_names() if names is None else names)


def summary_of(path: Path, names: ListNames | None = None) -> ReadingSummary:
    """The list read, and how. Raises LotError where it cannot be read at all, ConfigError."""
    from tagger.store.checklists import read_checklist

    names = list_names() if names is None else names
    checklist = read_checklist(path, names)
    lines = (
        _counts(path, checklist),
        _columns(checklist),
        *(row_told(row) for row in sample_rows(checklist)),
        _odd(checklist),
    )
    told = tuple(printable(line, _WIDTH) for line in lines if line)
    return ReadingSummary(told, fingerprint_of(path, names), not checklist.problems)


def _counts(path: Path, checklist: Checklist) -> str:
    sets = checklist.sets
    named = ", ".join(printable(name, 30) for name in list(sets)[:3])
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


def _odd(checklist: Checklist) -> str:
    problems = checklist.problems
    if not problems:
        return "nothing odd in it"
    first = problems[0].problem
    if len(problems) == 1:
        return f"odd: {first}"
    return f"odd ({len(problems)}): {first}"
