"""Lists in workbooks (`.xlsx`, ECMA-376; `.ods`, OpenDocument) by way of the library
python-calamine, which is an extra and loaded only for such a file.

The library holds a sheet as a full rectangle, so what a file claims is reckoned before it is read:
a file of some kilobytes may name a cell far below all others, or repeat one a million times."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from importlib import import_module
from typing import Any, NamedTuple

from tagger.core.model.text import printable
from tagger.errors import LotError

INSTALL = "pipx install '.[xlsx]' in the clone"
ENDINGS = (".xlsx", ".ods")
MOST_UNPACKED = 1 << 29  # bytes
MOST_SHEETS = 500
MOST_CELLS = 12_000_000  # of one sheet, the empty ones before and between the others as well
_MOST_PARTS = 2000
_CHUNK = 1 << 20
_PLACE = re.compile(rb'\br="([A-Z]{0,9})([0-9]+)"')
_ROW = re.compile(rb"<table:table-row\b([^>]*)>(.*?)(?=<table:table-row\b|</table:table>|\Z)", re.S)
_CELL = re.compile(rb"<table:(?:covered-)?table-cell\b([^>]*)>")
_ROWS = re.compile(rb'number-rows-repeated="([0-9]+)"')
_COLUMNS = re.compile(rb'number-columns-repeated="([0-9]+)"')
_LONGEST_COUNT = 12  # digits


class Sheet(NamedTuple):
    """A sheet by its name; its rows as lines of text with tabs between the cells, from the first
    row of the sheet on."""

    name: str
    text: str


def is_workbook(data: bytes) -> bool:
    """Whether a file's bytes are those of a workbook of one of these kinds."""
    if not data.startswith(b"PK\x03\x04"):
        return False
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            return _kind(packed) != ""
    except (zipfile.BadZipFile, ValueError, OSError, NotImplementedError):
        return False


def read_sheets(data: bytes, shown: str) -> list[Sheet]:
    """The sheets that are not hidden and have something in them. Raises LotError where the library
    is missing, or the file cannot be read or claims more than any list has."""
    library = _library(shown)
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            _check(packed, shown)
        book = library.CalamineWorkbook.from_filelike(io.BytesIO(data))
        return [sheet for sheet in _sheets(book) if sheet.text.strip()]
    except LotError:
        raise
    except Exception as error:  # a damaged workbook fails in many ways
        said = printable(str(error), 120)
        raise LotError(f"{shown} cannot be read as a spreadsheet: {said}.") from None


def _library(shown: str) -> Any:
    try:
        return import_module("python_calamine")
    except ImportError:
        raise LotError(
            f"{shown} is a spreadsheet; to read it as a list install the extra xlsx ({INSTALL}), "
            "or save it as CSV."
        ) from None


def _kind(packed: zipfile.ZipFile) -> str:
    names = set(packed.namelist())
    if "xl/workbook.xml" in names:
        return ".xlsx"
    return ".ods" if "content.xml" in names else ""


def _check(packed: zipfile.ZipFile, shown: str) -> None:
    """Raises LotError where a workbook claims more than any list has."""
    parts = packed.infolist()
    if sum(part.file_size for part in parts) > MOST_UNPACKED:
        raise LotError(
            f"{shown} is larger than {MOST_UNPACKED >> 20} MB when unpacked; no list is. Check "
            "the file."
        )
    lists = sum(part.file_size for part in parts if part.filename == "xl/workbook.xml")
    if len(parts) > _MOST_PARTS or lists > MOST_SHEETS * 400:
        raise LotError(f"{shown} has more than {MOST_SHEETS} sheets; split it.")
    if _kind(packed) == ".ods":
        _check_repeats(packed.read("content.xml"), shown)
        return
    for part in parts:
        if part.filename.startswith("xl/worksheets/"):
            _check_places(packed, part, shown)


def _check_places(packed: zipfile.ZipFile, part: zipfile.ZipInfo, shown: str) -> None:
    """Raises LotError where a sheet has a cell so far away that a list would not."""
    row = column = 0
    with packed.open(part) as file:
        tail = b""
        while chunk := file.read(_CHUNK):
            for letters, digits in _PLACE.findall(tail + chunk):
                row = max(row, _number(digits))
                column = max(column, _column(letters))
            tail = chunk[-40:]
            _check_size(row, max(column, 1), shown)


def _check_size(rows: int, columns: int, shown: str) -> None:
    if rows * columns > MOST_CELLS or rows > MOST_CELLS:
        raise LotError(
            f"{shown} has a cell in row {rows:,} and column {columns:,}; no list is so large. "
            "Delete what stands there."
        )


def _number(digits: bytes) -> int:
    return int(digits[:_LONGEST_COUNT])


def _column(letters: bytes) -> int:
    found = 0
    for letter in letters:
        found = found * 26 + letter - 64
    return found


def _check_repeats(content: bytes, shown: str) -> None:
    """Raises LotError where a sheet repeats rows and cells to more than a list has."""
    if content.count(b"<table:table ") > MOST_SHEETS:
        raise LotError(f"{shown} has more than {MOST_SHEETS} sheets; split it.")
    row = width = 0
    last = 0
    for match in _ROW.finditer(content):
        row += _repeated(_ROWS, match[1])
        if columns := _width(match[2]):
            last, width = row, max(width, columns)
            _check_size(last, width, shown)


def _width(cells: bytes) -> int:
    """The last column of a row with something in it, 0 where none has."""
    at = filled = 0
    for match in _CELL.finditer(cells):
        at += _repeated(_COLUMNS, match[1])
        if b"value" in match[1] or not match[1].endswith(b"/"):
            filled = at
    return filled


def _repeated(pattern: re.Pattern[bytes], attributes: bytes) -> int:
    match = pattern.search(attributes)
    return _number(match[1]) if match else 1


def _sheets(book: Any) -> Iterator[Sheet]:
    for at, about in enumerate(book.sheets_metadata):
        if "Visible" not in str(about.visible) or "WorkSheet" not in str(about.typ):
            continue
        sheet = book.get_sheet_by_index(at)
        rows = sheet.to_python(skip_empty_area=False)
        cells = [[_text(value) for value in row] for row in rows]
        for first, last in sheet.merged_cell_ranges or ():
            _fill(cells, first, last)
        yield Sheet(printable(about.name, 100), "\n".join(map(_line, cells)))


def _fill(cells: list[list[str]], first: tuple[int, int], last: tuple[int, int]) -> None:
    """Give each row of a merged cell its text; a row wide title stands once."""
    (row, column), end = first, min(last[0], len(cells) - 1)
    for below in range(row + 1, end + 1):
        cells[below][column] = cells[row][column]


def _line(cells: list[str]) -> str:
    return "\t".join(cells)


def _text(value: object) -> str:
    """A cell as text on one line. A number of the sheet is a fraction there: 7 comes as 7.0."""
    if isinstance(value, str):
        return _quoted(" ".join(value.split("\t")).replace("\r", "").replace("\n", "\v"))
    if isinstance(value, bool):
        return str(value).upper()
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        return str(int(value))
    if isinstance(value, date | time | timedelta):
        return _date(value)
    return str(value)


def _quoted(text: str) -> str:
    # as RFC 4180 has it, for the reader of lines
    return '"' + text.replace('"', '""') + '"' if '"' in text else text


def _date(value: date | time | timedelta) -> str:
    # A workbook knows no date without a time: midnight is a date alone.
    if isinstance(value, datetime) and value.time() == time():
        return value.date().isoformat()
    return value.isoformat() if isinstance(value, date | time) else str(value)
