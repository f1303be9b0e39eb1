"""Tables as they come back: CSV as spreadsheets write it, JSON, JSON Lines, a spreadsheet."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from tagger.core.checklist.files import decode
from tagger.core.checklist.lines import delimiter_of
from tagger.core.lot.cells import unguarded
from tagger.core.model.text import printable
from tagger.errors import LotError
from tagger.exchange.import_diff import ImportedRow
from tagger.exchange.workbook import read_sheet

LARGEST = 64 << 20  # bytes
ENDINGS = (".csv", ".json", ".jsonl", ".xlsx")


class ImportedTable(NamedTuple):
    """A table that came back: its headings, and its rows, as many cells each."""

    headings: tuple[str, ...]
    rows: tuple[ImportedRow, ...]


def read_given(data: bytes, ending: str, shown: str) -> ImportedTable:
    """The table in a file's bytes. `ending` is one of ENDINGS; `shown` names the file, printable.

    Raises LotError naming the file and the line where it is no table.
    """
    if ending == ".json":
        return _objects(_entries(_parsed(data, shown), shown), shown)
    if ending == ".jsonl":
        return _objects(_json_lines(data, shown), shown)
    if ending == ".xlsx":
        return _table(
            ((f"row {at}", row) for at, row in read_sheet(io.BytesIO(data), shown)),
            shown,
            exact=False,
        )
    return _table(_csv_rows(data, shown), shown, exact=True)


def _csv_rows(data: bytes, shown: str) -> Iterator[tuple[str, list[str]]]:
    text, trouble = decode(data)
    if trouble:
        raise LotError(f"{shown}, line {trouble[0]}: {trouble[1]}.")
    first = 1
    if text.startswith("sep="):  # what some spreadsheets write to say which mark parts the cells
        text, first = text.partition("\n")[2], 2
    lines = [*enumerate(text[:100_000].splitlines()[:20], start=1)]
    source = csv.reader(
        io.StringIO(text, newline=""), delimiter=delimiter_of(lines) if lines else ",", strict=True
    )
    start = 0
    try:
        for cells in source:
            if any(cell.strip() for cell in cells):
                yield f"line {start + first}", cells
            start = source.line_num
    except csv.Error as error:
        raise LotError(
            f"{shown}, line {start + first}: the line cannot be read ({error})."
        ) from None


def _table(rows: Iterator[tuple[str, list[str]]], shown: str, exact: bool) -> ImportedTable:
    """Rows below a row of headings. With `exact` each row has as many cells; without, empty ones
    may be missing."""
    headings: list[str] = []
    found: list[ImportedRow] = []
    for where, cells in rows:
        if not headings:
            while cells and not cells[-1].strip():
                cells.pop()
            headings = [unguarded(cell).strip() for cell in cells]
            continue
        while len(cells) > len(headings) and not cells[-1].strip():
            cells.pop()
        if len(cells) > len(headings) or (exact and len(cells) < len(headings)):
            raise LotError(
                f"{shown}, {where}: {len(cells)} cells, but {len(headings)} column names; put the "
                "row right."
            )
        if any(cell.strip() for cell in cells):
            found.append(ImportedRow(where, (*cells, *[""] * (len(headings) - len(cells)))))
    return ImportedTable(tuple(headings), tuple(found))


def _parsed(data: bytes, shown: str, line: int = 0) -> Any:
    try:
        return json.loads(data.decode("utf-8-sig"))
    except json.JSONDecodeError as error:
        raise LotError(
            f"{shown}, line {line or error.lineno}: this is no JSON ({error.msg})."
        ) from None
    except UnicodeDecodeError:
        raise LotError(f"{shown} is not UTF-8; save it as UTF-8.") from None
    except (RecursionError, ValueError):
        raise LotError(
            f"{shown} cannot be read: it is nested too deeply, or a number in it is too long."
        ) from None


def _entries(document: Any, shown: str) -> Iterator[tuple[str, Any]]:
    found = document.get("cards") if isinstance(document, dict) else document
    if not isinstance(found, list):
        raise LotError(
            f"{shown} has no list of cards; a table with a row a kind cannot be taken back."
        )
    return ((f"entry {at}", entry) for at, entry in enumerate(found, start=1))


def _json_lines(data: bytes, shown: str) -> Iterator[tuple[str, Any]]:
    for at, line in enumerate(data.split(b"\n"), start=1):
        if line.strip():
            yield f"line {at}", _parsed(line, shown, at)


def _objects(entries: Iterator[tuple[str, Any]], shown: str) -> ImportedTable:
    headings: dict[str, None] = {}
    rows: list[tuple[str, Mapping[str, str]]] = []
    for where, entry in entries:
        if not isinstance(entry, dict):
            raise LotError(f"{shown}, {where}: this is no card with names and values.")
        cells = {}
        for name, value in entry.items():
            if isinstance(value, dict | list):
                raise LotError(f"{shown}, {where}: '{printable(name, 60)}' is no text.")
            cells[name.strip()] = (
                "" if value is None else value if isinstance(value, str) else json.dumps(value)
            )
        headings.update(dict.fromkeys(cells))
        rows.append((where, cells))
    return ImportedTable(
        tuple(headings), tuple(_row(where, cells, tuple(headings)) for where, cells in rows)
    )


def _row(where: str, cells: Mapping[str, str], headings: Sequence[str]) -> ImportedRow:
    return ImportedRow(where, tuple(cells.get(name) for name in headings))
