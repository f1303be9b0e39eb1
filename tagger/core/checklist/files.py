"""Checklist files: what exists, as the user's own files say it.

A file is one table or several with a line of column names each (comma, semicolon, tab or bar), or
a plain list, one card a line. What cannot be read is named with its line; the rest counts."""

from __future__ import annotations

from tagger.core.checklist.checklist import Checklist, Gathered
from tagger.core.checklist.lines import Blocks
from tagger.core.checklist.reading import Naming
from tagger.core.checklist.tables import Tables
from tagger.core.checklist.verdicts import add_verdicts
from tagger.core.model.delimited_text import decode_text, names_its_delimiter

__all__ = ["parse_checklist", "parse_sheets"]


def parse_checklist(data: bytes, file: str, stem: str, naming: Naming | None = None) -> Checklist:
    """Read one file's bytes. `file` names it in problems (already printable); `stem` is the set
    where none is given; `naming` has the user's own names of columns."""
    text, trouble = decode_text(data)
    gathered = Gathered()
    if trouble:
        gathered.problem(file, *trouble)
    _read(text, file, naming or Naming(stem), gathered)
    return _checked(gathered, file)


def parse_sheets(sheets: list[tuple[str, str, Naming]], file: str) -> Checklist:
    """Read the sheets of a workbook: (how the sheet is called in problems, its rows as lines of
    text with tabs between the cells, its naming)."""
    gathered = Gathered()
    above = ""
    for called, text, naming in sheets:
        # a sheet `Rookies` behind one of a set is of that set
        _read(text, called, naming._replace(stem=above or naming.stem), gathered, mark="\t")
        above = next((one.title for one in reversed(gathered.readings) if one.title), "")
    return _checked(gathered, "" if len(sheets) > 1 else file)


def _checked(gathered: Gathered, file: str) -> Checklist:
    checklist = gathered.checklist(file)
    return add_verdicts(checklist, gathered)


def _read(text: str, file: str, naming: Naming, into: Gathered, mark: str = "") -> None:
    blocks = Blocks(text)
    # `sep=;`, which a spreadsheet program puts first, is no column's name
    if names_its_delimiter(text):
        blocks.skip(blocks.head(1))
    blocks.skip_empty()
    if blocks.head(1):
        Tables(file, naming, into, mark).read(blocks)
    else:
        into.problem(
            file, 1, "the file is empty; it needs a line of column names and one line per card"
        )
