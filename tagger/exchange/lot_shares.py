"""The rows of a table by the lots that they are of: by the stock number, else by the lot's name."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.lot.cells import plain, unguarded
from tagger.core.lot.fields import LOT
from tagger.core.model.stock_number import read_stock_number
from tagger.core.model.text import fold
from tagger.exchange.export_base import heading_key
from tagger.exchange.import_diff import STOCK

if TYPE_CHECKING:
    from tagger.exchange.export_base import ExportBase
    from tagger.exchange.import_diff import ImportedRow
    from tagger.exchange.layout.layout import Layout
    from tagger.exchange.table_reader import ImportedTable


class LotShare(NamedTuple):
    """The rows of one lot, and what they were exported from. `part` is the lot's part of stock
    numbers and `name` what it was called, each empty where the table does not say it; `several`:
    the table is of several lots."""

    name: str
    part: str
    rows: tuple[ImportedRow, ...]
    base: ExportBase | None
    several: bool = False

    def is_of(self, name: str, part: str) -> bool:
        """Whether the rows are those of a lot."""
        if not self.several:
            return True
        if self.part:
            return self.part == part
        return fold(self.name) == fold(plain(name))


def lot_shares(
    table: ImportedTable, bases: Sequence[ExportBase], layout: Layout | None
) -> tuple[list[LotShare], list[str]]:
    """(the rows of a table by their lots, which of them are of no lot that was exported). A table
    of one lot is one share, whatever it says of the lot."""
    at = _columns(table.headings, layout)
    if len(bases) == 1 and not bases[0].lot:
        return [LotShare("", bases[0].part, table.rows, bases[0])], []
    if bases:
        return _exported_shares(table, bases, at)
    if LOT not in at or (layout is None and at[LOT] != 0):
        return [LotShare("", "", table.rows, None)], []
    return _named_shares(table, at), []


def _columns(headings: Sequence[str], layout: Layout | None) -> Mapping[str, int]:
    """Where the lot and the stock number stand, as far as they do."""
    names = {heading_key(name): at for at, name in enumerate(headings)}
    heads = {LOT: LOT, STOCK: STOCK}
    if layout is not None:
        own = {column.field.casefold(): heading_key(column.heading) for column in layout.columns}
        heads = {name: own[name] for name in heads if name in own}
    return {name: names[head] for name, head in heads.items() if head in names}


def _exported_shares(
    table: ImportedTable, bases: Sequence[ExportBase], at: Mapping[str, int]
) -> tuple[list[LotShare], list[str]]:
    parts = {base.part: base for base in bases if base.part}
    names = {fold(plain(base.lot)): base for base in bases}
    rows: dict[int, list[ImportedRow]] = {id(base): [] for base in bases}
    unknown = []
    for row in table.rows:
        base = parts.get(_part(row, at)) or names.get(fold(_name(row, at)))
        if base is None:
            unknown.append(row.where)
        else:
            rows[id(base)].append(row)
    shares = [
        LotShare(base.lot, base.part, tuple(rows[id(base)]), base, True)
        for base in bases
        if rows[id(base)]
    ]
    return shares, unknown


def _named_shares(table: ImportedTable, at: Mapping[str, int]) -> list[LotShare]:
    rows: dict[str, list[ImportedRow]] = {}
    for row in table.rows:
        rows.setdefault(_name(row, at), []).append(row)
    return [LotShare(name, "", tuple(own), None, True) for name, own in rows.items()]


def _name(row: ImportedRow, at: Mapping[str, int]) -> str:
    return unguarded(_cell(row, at, LOT)).strip()


def _part(row: ImportedRow, at: Mapping[str, int]) -> str:
    number = read_stock_number(_cell(row, at, STOCK).strip())
    return "" if number is None else number.part


def _cell(row: ImportedRow, at: Mapping[str, int], name: str) -> str:
    return (row.cells[at[name]] or "") if name in at else ""
