"""Workbooks (ECMA-376, `.xlsx`) that come back, by way of the openpyxl library, which is an
extra and loaded only when it is needed."""

from __future__ import annotations

import zipfile
from collections.abc import Iterable, Iterator
from contextlib import closing
from datetime import date, datetime, time
from typing import Any, BinaryIO

from tagger.errors import LotError
from tagger.exchange.price_cells import price_of_number
from tagger.extras import load_extra
from tagger.store.workbook_file import MOST_PARTS, parts_of, read_as_workbook

_MOST_ROWS = 1_048_576  # of a sheet, in spreadsheet programs
_MOST_CELLS = 20_000_000
# parts of a workbook (ECMA-376 part 2) with an entry for each sheet, and how long they may be
_LISTS = ("xl/workbook.xml", "xl/_rels/workbook.xml.rels", "[Content_Types].xml")
_LONGEST_LIST = 1 << 17


def read_sheet(file: BinaryIO, shown: str) -> Iterator[tuple[int, list[str]]]:
    """(row from 1, its cells as text) of a workbook's first sheet. A date becomes `2031-05-02`, a
    formula what it came to. Raises LotError where the file is no workbook."""
    book = _opened(load_extra("openpyxl", "xlsx", "Spreadsheets (.xlsx) need"), file, shown)
    with closing(book), read_as_workbook(shown):
        sheet = book.worksheets[0]
        # Some programs write a wrong size into a sheet, and openpyxl would read no farther.
        sheet.reset_dimensions()
        cells = 0
        for number, row in enumerate(sheet.iter_rows(), start=1):
            cells += len(row)
            # rows that are left out are made up by the library: one line can claim any number
            if number > _MOST_ROWS or cells > _MOST_CELLS:
                raise LotError(f"{shown} has more rows or cells than a lot can; check the file.")
            yield number, [_cell_text(cell) for cell in row]


def _opened(library: Any, file: BinaryIO, shown: str) -> Any:
    """A workbook to be read. Raises LotError where the file is none, or too large."""
    with read_as_workbook(shown):
        # Asked first: a file of some kilobytes may unpack to more than memory holds.
        with zipfile.ZipFile(file) as packed:
            _check_size(packed, shown)
        file.seek(0)
        return library.load_workbook(file, read_only=True, data_only=True)


def _check_size(packed: zipfile.ZipFile, shown: str) -> None:
    """Raises LotError where a workbook is larger, or has more sheets, than any export."""
    parts = parts_of(packed, shown, "an export of a lot never is")
    if len(parts) > MOST_PARTS or _has_long_list(parts):
        raise LotError(f"{shown} has more sheets than a workbook of a lot; check the file.")


def _has_long_list(parts: Iterable[zipfile.ZipInfo]) -> bool:
    # what the library reads whole and works through for each sheet
    listed = (part for part in parts if part.filename in _LISTS)
    return any(part.file_size > _LONGEST_LIST for part in listed)


def _cell_text(cell: Any) -> str:
    value = cell.value
    # A price shows its currency by its format alone.
    if isinstance(value, int | float) and not isinstance(value, bool):
        return price_of_number(value, cell.number_format) or _text(value)
    return _text(value)


def _text(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return str(value).upper()
    if isinstance(value, date | time):
        return _date(value)
    # To a spreadsheet all numbers are fractions, of fifteen digits: 7 comes back as 7.0.
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        return str(int(value))
    return str(value).replace("_x005F_", "_")  # openpyxl does this for shared texts only


def _date(value: date | time) -> str:
    # A workbook knows no date without a time: midnight is a date alone.
    if isinstance(value, datetime) and value.time() == time():
        return value.date().isoformat()
    return value.isoformat()
