"""Numbers of a workbook as its formats show them: 7 below `000` is `007`, which is what stands on
the card. The library that reads sheets gives the bare value."""

from __future__ import annotations

import re
import zipfile
from collections.abc import Callable, Iterator, Mapping
from functools import partial
from posixpath import normpath
from typing import NamedTuple
from xml.parsers import expat

from tagger.store.workbook_size import column_of, repeats, whole

_STYLES = "xl/styles.xml"
_BOOK = "xl/workbook.xml"
_RELATIONS = "xl/_rels/workbook.xml.rels"
_CONTENT = "content.xml"
_CELL = re.compile(r"\$?([A-Za-z]{1,9})\$?([0-9]+)")
_LONGEST = 64  # characters of a format; a longer one would swell each cell that has it
_MOST_REPEATED = 10_000  # rows or cells with one and the same number
_PADDED = re.compile(rb">\D{0,8}0[0-9]+\D{0,8}</text:p>")

Place = tuple[int, int]  # row and column from 0
AsShown = Callable[[int, list[list[str]]], None]
"""Puts the numbers in the cells of a sheet, by its place in the workbook, as they are shown."""


class Format(NamedTuple):
    """Text before a number, the least digits that it has, and text behind it."""

    before: str
    digits: int
    behind: str

    def shown(self, number: str) -> str:
        """A whole number as text."""
        return f"{self.before}{number.zfill(self.digits)}{self.behind}"


# ECMA-376 part 1, 18.8.31: text in quotation marks or behind a backslash, and `0` for each digit
_LITERAL = r'(?:"[^"]*"|\\.|[-+/ :()#!])*'
_CODE = re.compile(
    rf"(?P<before>{_LITERAL.replace('#', '')})(?P<digits>#*0+)(?P<behind>{_LITERAL})"
)
_ASIDES = re.compile(r"\[[^\]]*\]|_.|\*.")


def format_of(code: str) -> Format | None:
    """A format that shows whole numbers with zeros or text beside them; None for others."""
    if len(code) > _LONGEST:
        return None
    match = _CODE.fullmatch(_ASIDES.sub("", code.split(";")[0]).strip())
    if match is None:
        return None
    before, behind = _plain(match["before"]), _plain(match["behind"])
    digits = match["digits"].count("0")
    return Format(before, digits, behind) if digits > 1 or before or behind else None


def _plain(literal: str) -> str:
    return re.sub(r'"([^"]*)"|\\(.)', lambda match: match[1] or match[2] or "", literal)


def shown_numbers(packed: zipfile.ZipFile) -> AsShown:
    """How the numbers of a workbook are shown. What cannot be read of it changes nothing."""
    names = set(packed.namelist())
    if _CONTENT in names:
        return _of_document(packed.read(_CONTENT))
    if _STYLES not in names or _BOOK not in names:
        return _as_they_are
    formats = _formats(packed.read(_STYLES))
    if not formats:
        return _as_they_are
    parts = _sheet_parts(
        packed.read(_BOOK), packed.read(_RELATIONS) if _RELATIONS in names else b""
    )

    def put(at: int, cells: list[list[str]]) -> None:
        part = parts[at] if at < len(parts) else ""
        for place, style in _styled(packed.read(part)) if part in names else ():
            if style in formats:
                _put(cells, place, formats[style].shown)

    return put


def _as_they_are(_: int, __: list[list[str]]) -> None:
    """The numbers of no cell are shown otherwise."""


def _put(cells: list[list[str]], place: Place, shown: Callable[[str], str]) -> None:
    row, column = place
    if row < len(cells) and column < len(cells[row]) and cells[row][column].isdigit():
        cells[row][column] = shown(cells[row][column])


class _Reader:
    """Reads XML of which nobody knows who wrote it; `elements` are told by their local names."""

    def __init__(self, elements: Mapping[str, Callable[[dict[str, str]], None]]) -> None:
        self._elements = elements
        self.parser = expat.ParserCreate(namespace_separator=" ")
        self.parser.StartElementHandler = self._start
        # no part of a workbook declares entities
        self.parser.StartDoctypeDeclHandler = self._stop

    def read(self, data: bytes) -> bool:
        """Whether all of it could be read."""
        try:
            self.parser.Parse(data, True)
        except (expat.ExpatError, ValueError):
            return False
        return True

    def _stop(self, *_: object) -> None:
        raise ValueError

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        if (element := self._elements.get(name.rpartition(" ")[2])) is not None:
            element({key.rpartition(" ")[2]: value for key, value in attributes.items()})


def _formats(data: bytes) -> dict[str, Format]:
    """The formats that show numbers otherwise, by the style of a cell."""
    codes: dict[str, str] = {}
    used: list[str] = []
    within = [False]

    def begin(_: dict[str, str]) -> None:
        within[0] = True

    def end(_: dict[str, str]) -> None:
        within[0] = False

    def code(said: dict[str, str]) -> None:
        codes[said.get("numFmtId", "")] = said.get("formatCode", "")

    def style(said: dict[str, str]) -> None:
        if within[0]:
            used.append(said.get("numFmtId", ""))

    # styles of cells stand in `cellXfs`, those by name before it and behind it
    around = {"cellStyleXfs": end, "cellXfs": begin, "cellStyles": end, "dxfs": end}
    _Reader({"numFmt": code, "xf": style, **around}).read(data)
    made = {str(at): format_of(codes.get(id, "")) for at, id in enumerate(used)}
    return {at: one for at, one in made.items() if one is not None}


def _sheet_parts(book: bytes, relations: bytes) -> list[str]:
    """The parts that hold the sheets, in the order in which the workbook lists them."""
    ids: list[str] = []
    targets: dict[str, str] = {}
    _Reader({"sheet": lambda said: ids.append(said.get("id", ""))}).read(book)
    _Reader(
        {"Relationship": lambda said: targets.update({said.get("Id", ""): said.get("Target", "")})}
    ).read(relations)
    return [_part(targets.get(id, "")) for id in ids]


def _part(target: str) -> str:
    return target.lstrip("/") if target.startswith("/") else normpath(f"xl/{target}")


def _styled(data: bytes) -> Iterator[tuple[Place, str]]:
    """The cells of a sheet that have a style, with it."""
    found: list[tuple[Place, str]] = []
    at = [-1, -1]

    def row(said: dict[str, str]) -> None:
        at[:] = [whole(said["r"]) - 1 if "r" in said else at[0] + 1, -1]

    def cell(said: dict[str, str]) -> None:
        at[1] += 1
        if match := _CELL.fullmatch(said.get("r", "")):
            at[:] = [whole(match[2]) - 1, column_of(match[1]) - 1]
        if "s" in said:
            found.append(((at[0], at[1]), said["s"]))

    return iter(found if _Reader({"row": row, "c": cell}).read(data) else ())


def _of_document(data: bytes) -> AsShown:
    """OpenDocument keeps beside each number how it is shown."""
    if not _PADDED.search(data):
        return _as_they_are
    sheets = _DocumentSheets(data).sheets

    def put(at: int, cells: list[list[str]]) -> None:
        for place, text in (sheets[at] if at < len(sheets) else {}).items():
            _put(cells, place, partial(_if_same, text))

    return put


def _if_same(text: str, number: str) -> str:
    """The text, where it is the number with zeros or words around it."""
    digits = re.findall("[0-9]+", text)
    return text if len(digits) == 1 and digits[0].lstrip("0") == number.lstrip("0") else number


class _DocumentSheets:
    """The texts of the cells of numbers, by sheet (OpenDocument 1.2, 9.1)."""

    def __init__(self, data: bytes) -> None:
        self.sheets: list[dict[Place, str]] = []
        self._row = self._column = self._rows = self._times = 0
        self._is_number = False
        self._text: list[str] = []
        reader = _Reader(
            {
                "table": self._table,
                "table-row": self._begin_row,
                "table-cell": self._cell,
                "covered-table-cell": self._cell,
            }
        )
        reader.parser.EndElementHandler = self._end
        reader.parser.CharacterDataHandler = self._text.append
        if not reader.read(data):
            self.sheets = []

    def _table(self, _: dict[str, str]) -> None:
        self.sheets.append({})
        self._row = 0

    def _begin_row(self, said: dict[str, str]) -> None:
        self._rows, self._column = repeats(said, "rows"), 0

    def _cell(self, said: dict[str, str]) -> None:
        self._times = repeats(said, "columns")
        self._is_number = said.get("value-type") == "float"
        self._text.clear()

    def _end(self, name: str) -> None:
        local = name.rpartition(" ")[2]
        if local == "table-row":
            self._row += self._rows
        elif local in ("table-cell", "covered-table-cell"):
            self._end_cell("".join(self._text).strip())

    def _end_cell(self, text: str) -> None:
        if self._is_number and self.sheets and re.fullmatch(r"\D{0,8}[0-9]+\D{0,8}", text):
            for row in range(self._row, self._row + min(self._rows, _MOST_REPEATED)):
                for column in range(self._column, self._column + min(self._times, 100)):
                    self.sheets[-1][row, column] = text
        self._column += self._times
        self._is_number = False
        self._text.clear()
