"""Checklist files: what exists, as the user's own files say it.

A file is a table with a line of column names (comma, semicolon or tab) or a plain list, one card a
line. What cannot be read is named with its line; the rest counts."""

from __future__ import annotations

import re
from collections.abc import Iterable

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
    if names_its_delimiter(text):
        blocks.skip(blocks.head(1))
    while (first := blocks.head(1)) and not first[0][1].strip():
        blocks.skip(first)
    if not first:
        gathered.problem(
            file, 1, "the file is empty; it needs a line of column names and one line per card"
        )
        return gathered.checklist(file)
    head = blocks.head(MAX_QUOTED_LINES)
    delimiter = delimiter_of(head)
    count, names = header_of(head, delimiter)
    columns = columns_of(names)
    if "subject" in columns or ("number" in columns and len(columns) > 1):
        blocks.skip(head[:count])
        ChecklistTable(file, stem, names, delimiter, gathered).read(head[0][0], blocks)
        if not gathered.rows and not gathered.problems:
            gathered.problem(file, head[0][0], "there are column names, but no cards below them")
    else:
        if len(names) > 2:
            said = (
                "this line has no known column names, so the file is read as a plain list; see "
                "the checklist format"
            )
            gathered.problem(file, head[0][0], said)
        _read_list(blocks.lines(), file, stem, gathered)
    return gathered.checklist(file)


def _read_list(lines: Iterable[Line], file: str, stem: str, into: Gathered) -> None:
    """A plain list: `23 Ada Marsh, Harbor Gulls`. The first line may be the set's name."""
    filled = [(line, text.strip()) for line, text in lines if text.strip()]
    name = stem
    if filled and _is_title(filled):
        name = " ".join(filled[0][1].lstrip("#").split())[:MAX_LINE]
        filled = filled[1:]
        if not filled:
            into.problem(file, 1, "no line of column names and no cards; see the checklist format")
    for line, text in filled:
        if reason := unreadable(text):
            into.problem(file, line, reason)
            continue
        match = _LIST_LINE.match(text)
        if match is None:
            shown = printable(text, 40)
            into.problem(
                file, line, f"no card number at the start of '{shown}'; the line is skipped"
            )
            continue
        subject, _, team = (
            part.strip() for part in match["rest"].replace("\t", ",").partition(",")
        )
        into.add(
            Row(name, match["number"], " ".join(subject.split()), " ".join(team.split())), line
        )


def _is_title(filled: list[Line]) -> bool:
    """Whether the first filled line names the set: no card line, or one that starts with a year."""
    first = _LIST_LINE.match(filled[0][1])
    if unreadable(filled[0][1]):
        return False
    if first is None:
        return True
    if not _YEAR.match(first["number"]) or "," in filled[0][1]:
        return False
    second = _LIST_LINE.match(filled[1][1]) if len(filled) > 1 else None
    return second is None or not _YEAR.match(second["number"])
