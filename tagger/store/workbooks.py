"""Lists in workbooks (`.xlsx`, ECMA-376; `.ods`, OpenDocument) by way of the library
python-calamine, which is an extra and loaded only for such a file.

The library holds a sheet as a full rectangle, so what a file claims is reckoned before it is read
(`workbook_size.py`)."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from typing import Any, NamedTuple

from tagger.core.model.text import printable
from tagger.errors import LotError
from tagger.extras import load_extra
from tagger.store.shown_numbers import AsShown, shown_numbers
from tagger.store.workbook_file import MOST_PARTS, parts_of, read_as_workbook, unreadable
from tagger.store.workbook_size import (
    MOST_SHEETS,
    Claims,
    NotXml,
    TooLarge,
    TooManySheets,
    check_part,
)

ENDINGS = (".xlsx", ".ods")
MOST_CELLS = 6_000_000  # of all sheets, the empty ones before and between the others as well
_BINARY = "xl/workbook.bin"  # of a kind (.xlsb) whose parts are no XML


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
            return _has_sheets(packed)
    except (zipfile.BadZipFile, ValueError, OSError, NotImplementedError):
        return False


def read_sheets(data: bytes, shown: str) -> list[Sheet]:
    """The sheets that are not hidden and have something in them. Raises LotError where the library
    is missing, or the file cannot be read or claims more than any list has."""
    library = load_extra(
        "python_calamine",
        "xlsx",
        f"{shown} is a spreadsheet; to read it needs",
        "Or save it as CSV.",
    )
    with read_as_workbook(shown), zipfile.ZipFile(io.BytesIO(data)) as packed:
        _check(packed, shown)
        as_shown = shown_numbers(packed)
        book = library.CalamineWorkbook.from_filelike(io.BytesIO(data))
        return [sheet for sheet in _sheets(book, as_shown) if sheet.text.strip()]


def _has_sheets(packed: zipfile.ZipFile) -> bool:
    names = set(packed.namelist())
    return not names.isdisjoint(("xl/workbook.xml", "content.xml")) and _BINARY not in names


def _check(packed: zipfile.ZipFile, shown: str) -> None:
    """Raises LotError where a workbook claims more than any list has."""
    parts = parts_of(packed, shown, "no list is")
    listed = held = cells = 0
    # all parts: which of them are sheets is said by other parts, and those may say anything
    for part in parts if len(parts) <= MOST_PARTS else ():
        claims = _claims_of(packed, part, MOST_CELLS - cells, shown)
        listed, held = max(listed, claims.listed), held + claims.held
        cells += claims.cells
    if len(parts) > MOST_PARTS:
        raise _too_many(shown)
    if listed > held:
        raise LotError(f"{shown} lists {listed} sheets, but has {held}; save it again.")


def _claims_of(packed: zipfile.ZipFile, part: zipfile.ZipInfo, most: int, shown: str) -> Claims:
    """What a part claims. Raises LotError where it is more than `most` cells."""
    try:
        with packed.open(part) as file:
            return check_part(file, most)
    except NotXml as error:
        if part.filename == "content.xml" or "sheet" in part.filename:
            raise unreadable(shown, error) from None
        return Claims(0, 0, 0)
    except TooManySheets:
        raise _too_many(shown) from None
    except TooLarge as error:
        raise LotError(
            f"{shown} claims a sheet of {error}; no list is so large. Delete what stands far "
            "below or beside the cards."
        ) from None


def _too_many(shown: str) -> LotError:
    return LotError(f"{shown} has more than {MOST_SHEETS} sheets; split it.")


def _sheets(book: Any, as_shown: AsShown) -> Iterator[Sheet]:
    for at, about in enumerate(book.sheets_metadata):
        # `SheetVisibleEnum.Hidden` has the word as well
        if not str(about.visible).endswith(".Visible") or "WorkSheet" not in str(about.typ):
            continue
        sheet = book.get_sheet_by_index(at)
        rows = sheet.to_python(skip_empty_area=False)
        cells = [[_text(value) for value in row] for row in rows]
        as_shown(at, cells)
        for first, last in sheet.merged_cell_ranges or ():
            _fill(cells, first, last)
        yield Sheet(printable(about.name, 100), "\n".join(map(_line, cells)))


def _fill(cells: list[list[str]], first: tuple[int, int], last: tuple[int, int]) -> None:
    """Give each row of a merged cell its text; a row wide title stands once."""
    (row, column), end = first, min(last[0], len(cells) - 1)
    if end < row or column >= len(cells[row]):
        return
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
    # the digits that spreadsheet programs keep: a third of 1.8 is 0.6, and not 0.6000000000000001
    return f"{value:.15g}" if isinstance(value, float) else str(value)


def _quoted(text: str) -> str:
    # as RFC 4180 has it, for the reader of lines
    return '"' + text.replace('"', '""') + '"' if '"' in text else text


def _date(value: date | time | timedelta) -> str:
    # A workbook knows no date without a time: midnight is a date alone.
    if isinstance(value, datetime) and value.time() == time():
        return value.date().isoformat()
    return value.isoformat() if isinstance(value, date | time) else str(value)
