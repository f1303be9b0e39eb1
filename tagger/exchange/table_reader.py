"""Tables as they come back: CSV as spreadsheets write it, JSON, JSON Lines, a spreadsheet."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from tagger.core.lot.cells import unguarded
from tagger.core.model.delimited_text import decode_text, delimiter_of, names_its_delimiter
from tagger.core.model.text import printable
from tagger.errors import LotError
from tagger.exchange.import_diff import ImportedRow
from tagger.exchange.workbook import read_sheet

LARGEST = 64 << 20  # bytes
ENDINGS = (".csv", ".json", ".jsonl", ".xlsx")
_HEAD, _HEAD_LINES = 100_000, 20  # characters and lines in which the column names are looked for
TableRow = tuple[str, list[str]]
"""Which row it is (`line 7`), and its cells."""


class ImportedTable(NamedTuple):
    """A table that came back: its headings, and its rows, as many cells each."""

    headings: tuple[str, ...]
    rows: tuple[ImportedRow, ...]


def read_table(data: bytes, ending: str, shown: str) -> ImportedTable:
    """The table in a file's bytes. `ending` is one of ENDINGS; `shown` names the file, printable.

    Raises LotError naming the file and the line where it is no table.
    """
    if ending == ".json":
        return _objects(_entries(_parsed(data, shown), shown), shown)
    if ending == ".jsonl":
        return _objects(_json_lines(data, shown), shown)
    if ending == ".xlsx":
        # Empty cells at a row's end are not in a workbook, so a short row is a whole one there.
        return _table(_sheet_rows(data, shown), shown, exact=False)
    return _table(_csv_rows(data, shown), shown, exact=True)


def _sheet_rows(data: bytes, shown: str) -> Iterator[TableRow]:
    for at, cells in read_sheet(io.BytesIO(data), shown):
        yield f"row {at}", cells


def _csv_rows(data: bytes, shown: str) -> Iterator[TableRow]:
    text, trouble = decode_text(data)
    if trouble:
        raise LotError(f"{shown}, line {trouble[0]}: {trouble[1]}.")
    first = 1
    if names_its_delimiter(text):
        text, first = text.partition("\n")[2], 2
    # A reader counts the lines that it has taken, so a record begins on the line behind them: a
    # quoted cell may run over several.
    source = csv.reader(io.StringIO(text, newline=""), delimiter=_delimiter(text), strict=True)
    start = 0
    try:
        for cells in source:
            if _filled(cells):
                yield f"line {start + first}", cells
            start = source.line_num
    except csv.Error as error:
        raise LotError(
            f"{shown}, line {start + first}: the line cannot be read ({error})."
        ) from None


def _delimiter(text: str) -> str:
    lines = text[:_HEAD].splitlines()[:_HEAD_LINES]
    return delimiter_of(enumerate(lines, start=1)) if lines else ","


def _table(rows: Iterator[TableRow], shown: str, exact: bool) -> ImportedTable:
    """Rows below a row of headings. With `exact` each row has as many cells; without, empty ones
    may be missing."""
    headings: tuple[str, ...] = ()
    for _, cells in rows:
        if headings := _headings(cells):
            break
    found = [
        ImportedRow(where, filled)
        for where, cells in rows
        if (filled := _as_wide(cells, len(headings), f"{shown}, {where}", exact))
    ]
    return ImportedTable(headings, tuple(found))


def _headings(cells: list[str]) -> tuple[str, ...]:
    return tuple(unguarded(cell).strip() for cell in _without_empty_end(cells, 0))


def _as_wide(cells: list[str], width: int, where: str, exact: bool) -> tuple[str, ...]:
    """The cells of a row, one for each heading; none where all are empty. Raises LotError where
    they are too many, or too few."""
    cells = _without_empty_end(cells, width)
    if len(cells) > width or (exact and len(cells) < width):
        raise LotError(f"{where}: {len(cells)} cells, but {width} column names; correct the row.")
    if not _filled(cells):
        return ()
    return (*cells, *[""] * (width - len(cells)))


def _without_empty_end(cells: list[str], width: int) -> list[str]:
    """The cells without the empty ones behind the last heading: a spreadsheet writes them where a
    column was emptied."""
    end = len(cells)
    while end > width and not cells[end - 1].strip():
        end -= 1
    return cells[:end]


def _filled(cells: Sequence[str]) -> bool:
    return any(cell.strip() for cell in cells)


def _parsed(data: bytes, shown: str, line: int = 0) -> Any:
    try:
        # An editor may have put a byte order mark in front, which JSON does not allow (RFC 8259,
        # 8.1).
        return json.loads(data.decode("utf-8-sig"))
    except json.JSONDecodeError as error:
        raise LotError(
            f"{shown}, line {line or error.lineno}: this is not JSON ({error.msg})."
        ) from None
    except UnicodeDecodeError:
        raise LotError(f"{shown} is not UTF-8; save it as UTF-8.") from None
    # Behind the two others, which are ValueErrors too: this one is of a number with too many
    # digits.
    except (RecursionError, ValueError):
        raise LotError(
            f"{shown} cannot be read: it is nested too deeply, or a number in it is too long."
        ) from None


def _entries(document: Any, shown: str) -> Iterator[tuple[str, Any]]:
    # A whole document as the export writes it, or the bare list that a script made of it.
    found = document.get("cards") if isinstance(document, dict) else document
    if not isinstance(found, list):
        raise LotError(
            f"{shown} has no list of cards; a table with one row per kind cannot be imported."
        )
    return ((f"entry {at}", entry) for at, entry in enumerate(found, start=1))


def _json_lines(data: bytes, shown: str) -> Iterator[tuple[str, Any]]:
    for at, line in enumerate(data.split(b"\n"), start=1):
        if line.strip():
            yield f"line {at}", _parsed(line, shown, at)


def _objects(entries: Iterator[tuple[str, Any]], shown: str) -> ImportedTable:
    rows = [(where, _values(entry, f"{shown}, {where}")) for where, entry in entries]
    # A script may have left fields out of some cards, so no single one names all columns.
    headings = tuple(dict.fromkeys(name for _, cells in rows for name in cells))
    return ImportedTable(
        headings,
        tuple(
            ImportedRow(where, tuple(cells.get(name) for name in headings)) for where, cells in rows
        ),
    )


def _values(entry: Any, where: str) -> Mapping[str, str]:
    """An entry's values as the texts of cells. Raises LotError where it is no card."""
    if not isinstance(entry, dict):
        raise LotError(f"{where}: this is not a card with names and values.")
    for name, value in entry.items():
        if isinstance(value, dict | list):
            raise LotError(f"{where}: '{printable(name, 60)}' is not text.")
    return {name.strip(): _cell(value) for name, value in entry.items()}


def _cell(value: Any) -> str:
    if value is None:
        return ""
    return value if isinstance(value, str) else json.dumps(value)
