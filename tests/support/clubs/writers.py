"""Files of these lists: text, workbooks, documents."""

from __future__ import annotations

import csv
import io
import re
import zipfile
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any
from xml.sax.saxutils import escape

import openpyxl

COVER = object()  # a cell below or beside the one that it was merged with
_NAMES = " ".join(
    f'xmlns:{name}="urn:oasis:names:tc:opendocument:xmlns:{name}:1.0"'
    for name in ("office", "table", "text")
)
_MANIFEST = (
    '<?xml version="1.0"?><manifest:manifest '
    'xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0">'
    '<manifest:file-entry manifest:full-path="/" '
    'manifest:media-type="application/vnd.oasis.opendocument.spreadsheet"/>'
    '<manifest:file-entry manifest:full-path="content.xml" manifest:media-type="text/xml"/>'
    "</manifest:manifest>"
)


def table(
    rows: Iterable[Sequence[Any]],
    delim: str = ",",
    enc: str = "utf-8",
    eol: str = "\r\n",
    quoting: int = csv.QUOTE_MINIMAL,
) -> bytes:
    file = io.StringIO()
    csv.writer(file, delimiter=delim, lineterminator=eol, quoting=quoting).writerows(rows)  # type: ignore[arg-type]
    return file.getvalue().encode(enc)


def text(lines: Iterable[str], enc: str = "utf-8", eol: str = "\n") -> bytes:
    return (eol.join(lines) + eol).encode(enc)


def book(sheets: Mapping[str, Callable[[Any], None]]) -> bytes:
    made = openpyxl.Workbook()
    made.remove(made.active)
    for name, put in sheets.items():
        put(made.create_sheet(name))
    file = io.BytesIO()
    made.save(file)
    return file.getvalue()


def grid(
    rows: Iterable[Sequence[Any]], then: Callable[[Any], None] | None = None
) -> Callable[[Any], None]:
    """What puts rows on a sheet, and then does something else with it."""

    def put(page: Any) -> None:
        for row in rows:
            page.append(list(row))
        if then:
            then(page)

    return put


def cached(data: bytes, values: Mapping[tuple[int, str], Any]) -> bytes:
    """A workbook with values beside its formulas, by the place of the sheet and the cell."""
    file = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as had, zipfile.ZipFile(file, "w") as packed:
        for name in had.namelist():
            part = had.read(name)
            if match := re.fullmatch(r"xl/worksheets/sheet([0-9]+)\.xml", name):
                at = int(match[1]) - 1
                own = {cell: value for (sheet, cell), value in values.items() if sheet == at}
                part = _with_values(part.decode(), own).encode()
            packed.writestr(name, part)
    return file.getvalue()


def _with_values(sheet: str, values: Mapping[str, Any]) -> str:
    for cell, value in values.items():
        kind = ' t="str"' if isinstance(value, str) else ""
        pattern = rf'<c r="{cell}"([^>]*)>(<f>.*?</f>)<v ?/?>(?:</v>)?'
        said = escape(str(value))
        sheet = re.sub(pattern, rf'<c r="{cell}"\g<1>{kind}>\g<2><v>{said}</v>', sheet)
    return sheet


def ods(sheets: Mapping[str, Iterable[Sequence[Any]]]) -> bytes:
    """A document of OpenDocument; a cell is None, text, a number, ("span", value, rows, columns) or
    COVER."""
    pages = []
    for name, rows in sheets.items():
        lines = "".join(
            f"<table:table-row>{''.join(map(_cell, row))}</table:table-row>" for row in rows
        )
        pages.append(f'<table:table table:name="{escape(name)}">{lines}</table:table>')
    content = (
        f'<?xml version="1.0" encoding="UTF-8"?><office:document-content {_NAMES} '
        f'office:version="1.2"><office:body><office:spreadsheet>{"".join(pages)}'
        "</office:spreadsheet></office:body></office:document-content>"
    )
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w") as packed:
        packed.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        packed.writestr("content.xml", content)
        packed.writestr("META-INF/manifest.xml", _MANIFEST)
    return file.getvalue()


def _cell(cell: Any) -> str:
    if cell is None or cell == "":
        return "<table:table-cell/>"
    if cell is COVER:
        return "<table:covered-table-cell/>"
    if isinstance(cell, tuple):
        _, value, rows, columns = cell
        over = f'table:number-rows-spanned="{rows}" table:number-columns-spanned="{columns}"'
        return _cell(value).replace("<table:table-cell", f"<table:table-cell {over}", 1)
    kind = 'office:value-type="string"'
    if isinstance(cell, (int, float)):
        kind = f'office:value-type="float" office:value="{cell}"'
    return f"<table:table-cell {kind}><text:p>{escape(str(cell))}</text:p></table:table-cell>"
