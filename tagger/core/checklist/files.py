"""Checklist files: what exists, as the user's own files say it.

A file is a table with a line of column names (comma, semicolon or tab) or a plain list, one card a
line. What cannot be read is named with its line; the rest counts."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from tagger.core.checklist.checklist import Checklist, Gathered
from tagger.core.checklist.lines import (
    MAX_LINE,
    MAX_QUOTED_LINES,
    Blocks,
    Line,
    header_of,
    unreadable,
)
from tagger.core.checklist.table import ChecklistTable, columns_of
from tagger.core.model.delimited_text import decode_text, delimiter_of, names_its_delimiter
from tagger.core.model.tags import Row
from tagger.core.model.text import printable

_LIST_LINE = re.compile(
    r"^\s*(?:no\.?\s+|nr\.?\s+)?#?\s*(?P<number>[^\W_]*[0-9][^\s,;:]*?|[A-Z]{1,4}-[A-Z0-9]{1,5})"
    r"(?:\s*[.):,;]\s*|\s+[-–—]\s+|\s+)(?P<rest>\S.*)$"
)
_YEAR = re.compile(r"^(1[89]|20)[0-9]{2}(-[0-9]{2,4})?$")


def parse_checklist(data: bytes, file: str, stem: str) -> Checklist:
    """Read one file's bytes. `file` names it in problems (already printable); `stem` is the set
    where none is given."""
    text, trouble = decode_text(data)
    gathered = Gathered()
    if trouble:
        gathered.problem(file, *trouble)
    blocks = Blocks(text)
    # `sep=;`, which a spreadsheet program puts first, is no column's name
    if names_its_delimiter(text):
        blocks.skip(blocks.head(1))
    while (first := blocks.head(1)) and not first[0][1].strip():
        blocks.skip(first)
    if first:
        _read(blocks, file, stem, gathered)
    else:
        gathered.problem(
            file, 1, "the file is empty; it needs a line of column names and one line per card"
        )
    return gathered.checklist(file)


def _read(blocks: Blocks, file: str, stem: str, into: Gathered) -> None:
    """Read a text from its first filled line on: as a table, else as a plain list."""
    head = blocks.head(MAX_QUOTED_LINES)
    line = head[0][0]
    delimiter = delimiter_of(head)
    count, names = header_of(head, delimiter)
    if _has_columns(columns_of(names)):
        blocks.skip(head[:count])
        ChecklistTable(file, stem, names, delimiter, into).read(line, blocks)
        if not into.rows and not into.problems:
            into.problem(file, line, "there are column names, but no cards below them")
        return
    # a line of a plain list has one comma, before the team
    if len(names) > 2:
        said = (
            "this line has no known column names, so the file is read as a plain list; see "
            "the checklist format"
        )
        into.problem(file, line, said)
    _read_list(blocks.lines(), file, stem, into)


def _has_columns(meanings: Sequence[str]) -> bool:
    """Whether a line names columns; a number alone could be the first card of a plain list."""
    return "subject" in meanings or ("number" in meanings and len(meanings) > 1)


def _read_list(lines: Iterable[Line], file: str, stem: str, into: Gathered) -> None:
    """A plain list: `23 Ada Marsh, Harbor Gulls`. The first line may be the set's name."""
    # an empty line says nothing, and is no line that cannot be read
    filled = [(line, text.strip()) for line, text in lines if text.strip()]
    name = stem
    if filled and _is_title(filled):
        name = " ".join(filled[0][1].lstrip("#").split())[:MAX_LINE]
        filled = filled[1:]
        if not filled:
            into.problem(file, 1, "no line of column names and no cards; see the checklist format")
    for line, text in filled:
        match = _LIST_LINE.match(text)
        if reason := unreadable(text) or _unnumbered(text, match):
            into.problem(file, line, reason)
        elif match is not None:
            into.add(_listed(name, match), line)


def _unnumbered(text: str, match: re.Match[str] | None) -> str:
    """Why a line cannot be a card's, empty where it can."""
    if match is not None:
        return ""
    return f"no card number at the start of '{printable(text, 40)}'; the line is skipped"


def _listed(set_name: str, match: re.Match[str]) -> Row:
    """The card in a line of a plain list; a tab parts subject and team as a comma does."""
    subject, _, team = match["rest"].replace("\t", ",").partition(",")
    return Row(set_name, match["number"], " ".join(subject.split()), " ".join(team.split()))


def _is_title(filled: list[Line]) -> bool:
    """Whether the first filled line names the set: no card line, or one that starts with a year."""
    first = _LIST_LINE.match(filled[0][1])
    if unreadable(filled[0][1]):
        return False
    if first is None:
        return True
    if not _YEAR.match(first["number"]) or "," in filled[0][1]:
        return False
    # `1987 Harbor` above `1987 Ada Marsh` is a card numbered 1987, above `1 Ada Marsh` a set
    return not any(_is_numbered_as_year(text) for _, text in filled[1:2])


def _is_numbered_as_year(text: str) -> bool:
    match = _LIST_LINE.match(text)
    return match is not None and _YEAR.match(match["number"]) is not None
