"""Workbooks (ECMA-376, `.xlsx`) to work in, by way of the library XlsxWriter, which is an extra and
loaded only when it is needed.

A text is a text to the spreadsheet: no formula, no date, no number. A price is a number, and sums.
Rows go to a file at once (XlsxWriter's constant memory), so that memory does not grow with them."""

from __future__ import annotations

import re
import tempfile
from collections.abc import Iterable
from io import BytesIO
from typing import IO, TYPE_CHECKING, Any

from tagger.errors import LotError
from tagger.exchange.price_cells import price_number
from tagger.exchange.workbook_pictures import SheetPictures, with_heading
from tagger.extras import load_extra

if TYPE_CHECKING:
    from tagger.core.lot.fields import Value
    from tagger.exchange.table import Table, Write
    from tagger.exchange.workbook_pictures import BookPictures

_LONGEST = 32_767  # characters of a cell that spreadsheets hold
_NARROWEST, _WIDEST = 6, 48  # characters of a column
_FILTER = 3  # characters that the button of a filter covers
_CHUNK = 1 << 20
_MIDDLE = {"valign": "vcenter"}  # beside a picture a row is high
# a number at the right edge of its cell would touch the text at the left edge of the next
_APART = {"align": "right", "indent": 1}
_TEXT, _WHOLE, _PRICE = "@", "0", "0.00"
# what no XML may hold (XML 1.0, 2.2)
_NOT_IN_XML = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")


def write_book(table: Table, write: Write) -> None:
    """The table as a workbook: a sheet of cards, and one of counts where the table has them. Raises
    LotError where XlsxWriter is missing or a text is too long, OSError where the disk is full."""
    library = load_extra("xlsxwriter", "xlsx", "Spreadsheets (.xlsx) need")
    with tempfile.TemporaryFile() as file, tempfile.TemporaryDirectory() as folder:
        output = _Output(file)
        try:
            _fill(library, output, folder, table)
        except BaseException:
            output.give_up()
            raise
        file.seek(0)
        while data := file.read(_CHUNK):
            write(data)


class _Output:
    """What XlsxWriter writes to. Its ZipFile, where it was stopped, goes on to write when it is
    collected, and would complain of a file that is closed by then."""

    def __init__(self, file: IO[bytes]) -> None:
        self._file = file

    def give_up(self) -> None:
        """Let all that is still written go nowhere."""
        self._file = BytesIO()

    def write(self, data: bytes) -> int:
        """As a file does."""
        return self._file.write(data)

    def seek(self, offset: int, whence: int = 0) -> int:
        """As a file does."""
        return self._file.seek(offset, whence)

    def tell(self) -> int:
        """As a file does."""
        return self._file.tell()

    def flush(self) -> None:
        """As a file does."""
        self._file.flush()


def _fill(library: Any, file: _Output, folder: str, table: Table) -> None:
    made = library.Workbook(file, {"constant_memory": True, "tmpdir": folder})
    book = _Book(made)
    try:
        book.add("cards", table.columns, table.rows, table.prices, table.pictures)
        # The counts are right only behind the last row.
        if counts := table.counts:
            book.add("counts", counts.columns, counts.rows(), counts.prices)
    except BaseException:
        # Its sheets are open files in a folder that is about to go.
        for sheet in made.worksheets():
            sheet.row_data_fh.close()
        made.fileclosed = True
        raise
    try:
        made.close()
    except library.exceptions.FileCreateError as error:
        raise OSError(*_reason(error)) from None


def _reason(error: Exception) -> tuple[int | None, str]:
    cause = error.args[0] if error.args else error
    return getattr(cause, "errno", None), str(getattr(cause, "strerror", None) or cause)


class _Book:
    """A workbook being filled, and its formats by what they show."""

    def __init__(self, book: Any) -> None:
        self._book = book
        self._head = book.add_format({"bold": True, "num_format": _TEXT, "bottom": 1})
        self._link = book.add_format({"hyperlink": True, "num_format": _TEXT, **_MIDDLE})
        self._formats: dict[str, Any] = {}

    def add(
        self,
        name: str,
        columns: tuple[str, ...],
        rows: Iterable[tuple[Value, ...]],
        prices: frozenset[int],
        pictures: BookPictures | None = None,
    ) -> None:
        """A sheet with its rows, a head that stays, and a filter."""
        sheet = self._book.add_worksheet(name)
        placed = None
        if pictures is not None:
            placed = SheetPictures(sheet, pictures, len(columns), self._link)
            columns = columns if pictures.small is None else with_heading(columns)
        self._begin(sheet, columns)
        widths = [len(heading) + _FILTER for heading in columns]
        whole, last = set[int](), 0
        for last, row in enumerate(rows, start=1):
            if placed is not None:
                placed.begin_row(last)
            whole |= self._write_row(sheet, last, row, widths, prices, placed)
        self._finish(sheet, last, widths, prices, whole)

    def _begin(self, sheet: Any, columns: tuple[str, ...]) -> None:
        sheet.freeze_panes(1, 0)
        # printed, all columns are on one page and each page has the head
        sheet.set_landscape()
        sheet.fit_to_pages(1, 0)
        sheet.repeat_rows(0)
        for at, heading in enumerate(columns):
            sheet.write_string(0, at, _cell_text(heading), self._head)

    def _write_row(
        self,
        sheet: Any,
        last: int,
        row: tuple[Value, ...],
        widths: list[int],
        prices: frozenset[int],
        placed: SheetPictures | None,
    ) -> set[int]:
        """Write the cells of a row, and note how wide they are; which of them are whole
        numbers."""
        plain, whole = self._format(_TEXT), set[int]()
        for at, value in enumerate(row):
            if isinstance(value, int):
                whole.add(at)
                sheet.write_number(last, at, value, self._format(_WHOLE))
                continue
            if len(value) > widths[at]:
                widths[at] = len(value)
            if at in prices:
                self._write_price(sheet, last, at, value)
            elif value and not (placed is not None and placed.link(last, at, value)):
                sheet.write_string(last, at, _cell_text(value), plain)
        return whole

    def _write_price(self, sheet: Any, row: int, at: int, value: str) -> None:
        if price := price_number(value):
            sheet.write_number(row, at, price.number, self._format(price.format))
        elif value:
            sheet.write_string(row, at, _cell_text(value), self._format(_TEXT))

    def _format(self, shows: str) -> Any:
        if shows not in self._formats:
            beside = _MIDDLE if shows == _TEXT else {**_MIDDLE, **_APART}
            self._formats[shows] = self._book.add_format({"num_format": shows, **beside})
        return self._formats[shows]

    def _finish(
        self, sheet: Any, last: int, widths: list[int], prices: frozenset[int], whole: set[int]
    ) -> None:
        # The format of a column is that of its empty cells: what is typed there later stays text.
        for at, width in enumerate(widths):
            shows = _TEXT
            if at in prices:
                shows = _PRICE
            elif at in whole:
                shows = _WHOLE
            wide = min(max(width, _NARROWEST), _WIDEST) + 1
            sheet.set_column(at, at, wide, self._format(shows))
        if widths:
            sheet.autofilter(0, 0, last, len(widths) - 1)
            # `007` is meant as a text, so no mark in its corner asks for a number.
            sheet.ignore_errors({"number_stored_as_text": "A1:XFD1048576"})


def _cell_text(value: str) -> str:
    # most cells are plain words, and this is a tenth of what looking for signs costs
    if len(value) <= _LONGEST and value.isprintable():
        return value
    if len(value) > _LONGEST:
        raise LotError(
            f"A cell has more than {_LONGEST:,} characters, more than a spreadsheet can hold; "
            "export as .csv."
        )
    return _NOT_IN_XML.sub("\ufffd", value)
