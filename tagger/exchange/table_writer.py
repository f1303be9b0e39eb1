"""The files that tables become: CSV, JSON, JSON Lines, a spreadsheet. Rows are written as they
come."""

from __future__ import annotations

import codecs
import csv
import io
import json
from collections.abc import Callable, Iterable, Iterator
from itertools import islice
from typing import TYPE_CHECKING

from tagger.core.lot.cells import guarded
from tagger.core.model.text import printable
from tagger.errors import LotError
from tagger.exchange.csv_form import PLAIN, CsvForm
from tagger.exchange.price_cells import with_decimal_sign

if TYPE_CHECKING:
    from tagger.core.lot.fields import Value
    from tagger.exchange.table import Row, Table, Write

FORMAT = 1  # of the JSON document
BATCH = 256  # rows that are held at once


def write_csv(table: Table, lot: str, write: Write, form: CsvForm = PLAIN) -> None:
    """CSV by RFC 4180: CRLF, quotation marks doubled, a header line. The RFC knows the comma alone
    as delimiter; the rest is common practice. Raises LotError where the encoding lacks a letter."""
    out = io.StringIO()
    writer = csv.writer(
        out,
        delimiter=form.delimiter,
        lineterminator="\r\n",
        quoting=csv.QUOTE_ALL if form.quoted else csv.QUOTE_MINIMAL,
    )
    encoder = codecs.getincrementalencoder(form.encoding)()
    writer.writerow([_csv_cell(form, False)(name) for name in table.columns])
    cells = [_csv_cell(form, at in table.prices) for at in range(len(table.columns))]
    for batch in _batches(table.rows):
        writer.writerows(
            [[cell(value) for cell, value in zip(cells, row, strict=True)] for row in batch]
        )
        write(_encoded(encoder, out.getvalue(), form.encoding))
        # Emptied, so that no more than one batch of a large lot is held.
        out.seek(0)
        out.truncate()
    write(_encoded(encoder, out.getvalue(), form.encoding))


def _csv_cell(form: CsvForm, priced: bool) -> Callable[[Value], Value]:
    """What a cell of a column becomes."""

    def guard(value: Value) -> Value:
        return guarded(value) if isinstance(value, str) else value

    def priced_cell(value: Value) -> Value:
        return own(with_decimal_sign(value, form.decimal) if isinstance(value, str) else value)

    own = guard if form.guard else _as_it_is
    return priced_cell if priced and form.decimal else own


def _as_it_is(value: Value) -> Value:
    return value


def _encoded(encoder: codecs.IncrementalEncoder, text: str, encoding: str) -> bytes:
    try:
        return encoder.encode(text)
    except UnicodeEncodeError as error:
        before, behind = text[: error.start][-20:], text[error.start :][:20]
        near = before.rpartition("\n")[2] + behind.partition("\r")[0]
        raise LotError(
            f"{encoding} does not have the letter '{printable(text[error.start])}' in "
            f"'{printable(near)}'; export in utf-8."
        ) from None


def write_json(table: Table, lot: str, write: Write) -> None:
    """One JSON document (RFC 8259) with a line a row. The plain inventory is valid by the
    schema that `tagger export --schema` prints."""
    encode = json.JSONEncoder(ensure_ascii=False).encode
    head = (
        f'{{"format": {FORMAT},\n "lot": {encode(lot)},\n "columns": {encode(table.columns)},\n '
        f"{encode(table.entries)}: ["
    )
    before = f"{head}\n  "
    for batch in _batches(table.rows):
        lines = [encode(dict(zip(table.columns, row, strict=True))) for row in batch]
        write((before + ",\n  ".join(lines)).encode("utf-8"))
        before = ",\n  "
    # Without any row the head is still to be written.
    head = before.rstrip() if before.startswith("{") else ""
    write(f"{head}]}}\n".encode())


def write_json_lines(table: Table, lot: str, write: Write) -> None:
    """JSON Lines (jsonlines.org): a JSON document a line, one for each row, by column name."""
    encode = json.JSONEncoder(ensure_ascii=False).encode
    for batch in _batches(table.rows):
        write(
            "".join(
                encode(dict(zip(table.columns, row, strict=True))) + "\n" for row in batch
            ).encode("utf-8")
        )


def write_workbook(table: Table, lot: str, write: Write) -> None:
    """A workbook (ECMA-376). Raises LotError where the library for it is missing."""
    # It wants a library that need not be there, so no other form of table may ask for it.
    from tagger.exchange.workbook_writer import write_book

    write_book(table, write)


FORMS: dict[str, Callable[[Table, str, Write], None]] = {
    ".csv": write_csv,
    ".json": write_json,
    ".jsonl": write_json_lines,
    ".xlsx": write_workbook,
}
"""By the ending of a file's name, what writes a table of a lot with this name as such a file."""


def _batches(rows: Iterable[Row]) -> Iterator[list[Row]]:
    left = iter(rows)
    while batch := list(islice(left, BATCH)):
        yield batch
