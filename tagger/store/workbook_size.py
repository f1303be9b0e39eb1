"""How large the sheets of a workbook claim to be, reckoned from its XML before any library makes
rectangles of them: a file of some kilobytes may name a cell far below all others, or repeat one a
million times."""

from __future__ import annotations

import re
from typing import IO, NamedTuple
from xml.parsers import expat

_CHUNK = 1 << 20
_CELL = re.compile(r"\$?([A-Za-z]{0,9})\$?([0-9]+)")
MOST_SHEETS = 500
_LONGEST = 12  # digits of a count


class TooLarge(Exception):
    """A sheet has more rows times columns than any list; its size."""

    def __init__(self, rows: int, columns: int) -> None:
        super().__init__(f"{rows:,} rows and {columns:,} columns")


class NotXml(Exception):
    """The part holds no XML, or a kind that no sheet has."""


class TooManySheets(Exception):
    """A part lists more sheets than any list has."""


class Claims(NamedTuple):
    """What a part of a workbook claims: how many sheets it lists, how many it holds, and the cells
    of these, the empty ones before and between the others as well."""

    listed: int
    held: int
    cells: int


def check_part(part: IO[bytes], most: int) -> Claims:
    """What a part of a workbook claims. Raises TooLarge where that is more than `most` cells;
    TooManySheets; NotXml."""
    return _Part(most).read(part)


class _Part:
    """One part, read element by element: `row` and `c` of ECMA-376, 18.3.1; `table-row` and
    `table-cell` of OpenDocument 1.2, 9.1."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._rows = self._columns = self._at = self._listed = self._held = 0
        self._before = 0  # cells of the sheets before this one
        self._row_repeats = 1
        self._row_at = 0  # the last row met, with nothing in it perhaps
        self._filled = 0  # the last column of this row with something in it
        self._cell = False
        self._begun = {
            "row": self._row,
            "c": self._c,
            "sheet": self._list,
            "sheetData": self._sheet,
            "chartsheet": self._sheet,
            "dialogsheet": self._sheet,
            "table": self._table,
            "table-row": self._table_row,
            "table-cell": self._table_cell,
            "covered-table-cell": self._table_cell,
        }

    def read(self, part: IO[bytes]) -> Claims:
        """Read all of it."""
        parser = expat.ParserCreate(namespace_separator=" ")
        parser.StartElementHandler = self._start
        parser.EndElementHandler = self._end
        # no sheet declares entities, and one could be written with them so that nothing shows here
        parser.StartDoctypeDeclHandler = self._doctype
        try:
            while chunk := part.read(_CHUNK):
                parser.Parse(chunk)
            parser.Parse(b"", True)
        except expat.ExpatError as error:
            raise NotXml(str(error)) from None
        return Claims(self._listed, self._held, self._cells())

    def _cells(self) -> int:
        return self._before + self._rows * self._columns

    def _doctype(self, *_: object) -> None:
        raise NotXml("it declares a document type")

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        begin = self._begun.get(name.rpartition(" ")[2])
        if begin is not None:
            begin(attributes)
        elif self._cell:
            self._filled = self._at  # text in a cell of OpenDocument

    def _end(self, name: str) -> None:
        local = name.rpartition(" ")[2]
        if local == "table-row":
            self._end_row()
        elif local in ("table-cell", "covered-table-cell"):
            self._cell = False

    def _list(self, _: dict[str, str]) -> None:
        self._listed += 1
        if self._listed > MOST_SHEETS:
            raise TooManySheets

    def _table(self, attributes: dict[str, str]) -> None:
        self._list(attributes)
        self._sheet(attributes)

    def _sheet(self, _: dict[str, str]) -> None:
        self._before = self._cells()
        self._held += 1
        self._rows = self._row_at = self._columns = self._at = 0

    def _row(self, attributes: dict[str, str]) -> None:
        self._rows = max(self._rows + 1, whole(attributes.get("r", "0")))
        self._at = 0
        self._check(self._rows, self._columns)

    def _c(self, attributes: dict[str, str]) -> None:
        self._at += 1
        if match := _CELL.fullmatch(attributes.get("r", "").strip()):
            self._at = max(self._at, column_of(match[1]))
            self._rows = max(self._rows, whole(match[2]))
        self._columns = max(self._columns, self._at)
        self._check(self._rows, self._columns)

    def _table_row(self, attributes: dict[str, str]) -> None:
        self._row_repeats, self._at, self._filled = repeats(attributes, "rows"), 0, 0

    def _table_cell(self, attributes: dict[str, str]) -> None:
        self._at += repeats(attributes, "columns")
        self._cell = True
        if any(name.rpartition(" ")[2] in ("value-type", "value") for name in attributes):
            self._filled = self._at

    def _end_row(self) -> None:
        self._row_at += self._row_repeats
        # rows and cells behind the last one with something in it are not kept
        if self._filled:
            self._rows = self._row_at
            self._columns = max(self._columns, self._filled)
            self._check(self._rows, self._columns)

    def _check(self, rows: int, columns: int) -> None:
        if self._before + rows * max(columns, 1) > self._most:
            raise TooLarge(rows, columns)


def whole(text: str) -> int:
    """A count in an attribute, 0 where it is none."""
    text = text.strip()
    return int(text[:_LONGEST]) if text.isascii() and text.isdigit() else 0


def column_of(letters: str) -> int:
    """The number of a column, from 1, by its letters."""
    found = 0
    for letter in letters.upper():
        found = found * 26 + ord(letter) - 64
    return found


def repeats(attributes: dict[str, str], what: str) -> int:
    """How often an element of OpenDocument stands for `rows` or `columns`."""
    for name, value in attributes.items():
        if name.endswith(f"number-{what}-repeated"):
            return max(1, whole(value))
    return 1
