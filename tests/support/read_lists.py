"""Lists read from a text or from sheets, and what is asked of them."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from support.hobby.writers import book
from tagger.core.checklist.checklist import Checklist
from tagger.core.checklist.files import parse_checklist
from tagger.core.model.tags import Row, series_of
from tagger.store.read_lists import read_checklist

Sheet = tuple[str, Sequence[Sequence[object]]]
"""The name of a sheet and its rows."""


def read(text: str, name: str = "harbor.csv") -> Checklist:
    """A list from its text; the name of its file is the set where nothing else names one."""
    return parse_checklist(text.encode(), name, name.split(".")[0])


def workbook(path: Path, *sheets: Sheet) -> Checklist:
    """A list from a workbook with these sheets, written to the path."""
    path.write_bytes(book(dict(sheets)))
    return read_checklist(path)


def series(row: Row) -> str:
    """The subset of a card, empty for none."""
    return series_of(row.extra)


def told(found: Checklist) -> str:
    """All that is told of a list."""
    return " ".join(problem.problem for problem in found.problems)
