"""Checklists as they were read, of `tagger checklist`: as text and as JSON."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from tagger.core.checklist.facts import SetFacts, numbering_told, ranges_told, set_facts
from tagger.core.checklist.headings.meaning import shown_meaning
from tagger.core.model.counted import counted
from tagger.core.model.text import printable
from tagger.services.lists.list_reading import (
    columns_told,
    notes_of,
    row_told,
    sample_rows,
    sheet_of,
)

if TYPE_CHECKING:
    from tagger.core.checklist.checklist import Checklist
    from tagger.core.checklist.oddities import Problem
    from tagger.core.checklist.reading import TableReading
    from tagger.core.model.tags import Parallel

_WIDTH = 80  # columns
_LABEL = 9
_MOST_SETS, _MOST_TABLES, _MOST_NOTES = 40, 12, 20  # that are written out of one file
_HELD = "\u00a0=\u00a0"
_LONGEST = 600  # characters of one entry


def _parallel(parallel: Parallel) -> str:
    if not parallel.run or parallel.name.startswith("/"):
        return parallel.name
    return f"{parallel.name} /{parallel.run}"


def _further(whole: Checklist) -> list[str]:
    """The columns that are only kept, so that one whose name was meant to say more is noticed."""
    return list(dict.fromkeys(name for row in whole.rows for name, _ in row.extra))


def as_json(whole: Checklist) -> dict[str, object]:
    """The document of --json."""
    return {
        "rows": len(whole.rows),
        "sets": [_set_json(facts) for facts in set_facts(whole)],
        "further_columns": _further(whole),
        "tables": [_table_json(reading) for reading in whole.readings],
        "problems": [problem._asdict() for problem in whole.problems],
    }


def _set_json(facts: SetFacts) -> dict[str, object]:
    return {
        "set": facts.name,
        "cards": facts.cards,
        "parallels": [_parallel(one) for one in facts.parallels],
        "numbers": list(facts.ranges),
        "skipped": list(facts.skipped),
        "repeated": list(facts.repeated),
    }


def _table_json(reading: TableReading) -> dict[str, object]:
    return {
        "file": reading.file,
        "line": reading.line,
        "columns": [
            {"heading": heading, "meaning": shown_meaning(meaning) or None}
            for heading, meaning in reading.columns
        ],
        "notes": list(reading.notes),
    }


def as_text(read: Sequence[tuple[str, Checklist]], whole: Checklist) -> Iterator[str]:
    """Each file: its columns, sets, three rows as they were understood, and what is odd."""
    for file, checklist in read:
        yield from _file(file, checklist)
    if len(read) > 1:
        sets = counted(len(whole.sets), "set")
        yield f"{counted(len(whole.rows), 'card')} in {sets} in {counted(len(read), 'file')}"
    own = {problem for _, checklist in read for problem in checklist.problems}
    for problem in whole.problems:
        if problem not in own:
            yield from _entry("odd", problem.problem)


def _file(file: str, checklist: Checklist) -> Iterator[str]:
    facts = set_facts(checklist)
    cards, sets = counted(len(checklist.rows), "card"), counted(len(facts), "set")
    yield f"{file}: {cards} in {sets}"
    yield from _tables(checklist.readings)
    yield from _sets(facts)
    for label, row in zip(("rows", "", ""), sample_rows(checklist), strict=False):
        yield from _entry(label, row_told(row))
    yield from _entries("read as", notes_of(checklist, file), _MOST_NOTES)
    numbering = [said for one in facts for said in numbering_told(one)]
    yield from _entries("check", numbering, _MOST_NOTES)
    yield from _entries("odd", [_told(problem, file) for problem in checklist.problems], _MOST_SETS)


def _tables(readings: Sequence[TableReading]) -> Iterator[str]:
    told = dict.fromkeys(_columns(reading) for reading in readings)
    yield from _entries("columns", list(told), _MOST_TABLES)


def _columns(reading: TableReading) -> str:
    if not reading.columns:
        return "no headings: read as a plain list of number, subject, team"
    return columns_told(reading)


def _sets(facts: Sequence[SetFacts]) -> Iterator[str]:
    told = []
    for one in facts:
        parallels = ", ".join(_parallel(parallel) for parallel in one.parallels)
        parts = [f"{one.name}: {counted(one.cards, 'card')}", ranges_told(one)]
        told.append("; ".join(filter(None, [", ".join(filter(None, parts)), parallels])))
    yield from _entries("sets" if len(told) > 1 else "set", told, _MOST_SETS)


def _told(problem: Problem, file: str) -> str:
    """A problem below its file's name; one of several sheets is named."""
    place = [sheet_of(problem.file, file)]
    if problem.lines == 1 and problem.line:
        place.append(f"line {problem.line}")
    where = ", ".join(filter(None, place))
    return f"{where}: {problem.problem}" if where else problem.problem


def _entries(label: str, told: Sequence[str], most: int) -> Iterator[str]:
    """Several entries under one label, those beyond `most` counted."""
    for at, text in enumerate(told[:most]):
        yield from _entry("" if at else label, text)
    if len(told) > most:
        yield from _entry("", f"and {len(told) - most} more")


def _entry(label: str, text: str) -> Iterator[str]:
    """An entry behind its label, on as many lines as it takes."""
    first = f"  {label}".ljust(_LABEL + 2)
    # a heading and its meaning stay on one line
    held = printable(text, _LONGEST).replace(" = ", _HELD)
    wrapped = textwrap.wrap(
        held,
        _WIDTH,
        initial_indent=first,
        subsequent_indent=" " * (_LABEL + 4),
        break_on_hyphens=False,
    )
    yield from (line.replace(_HELD, " = ") for line in wrapped or [first.rstrip()])
