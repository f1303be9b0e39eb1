"""An edited table, the export that it was, and the lot as it is now: which edits can be imported.

A cell is edited where it says something else than was exported. An edit is imported where the lot
still says what was exported; where both changed, and not to the same, that is a conflict (as diff3
has it; S. Khanna, K. Kunal, B. Pierce, "A Formal Investigation of Diff3", 2007). What a card is
(set, number, subject, team, parallel) counts as one: half of two answers is a third card."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.lot.fields import CardInLot, Field
from tagger.core.model.stock_number import read_stock_number
from tagger.core.model.text import printable
from tagger.exchange.export_base import IDENTITY

if TYPE_CHECKING:
    from tagger.core.lot.view import LotView
    from tagger.exchange.export_base import BaseRow, ExportBase


class Cell(NamedTuple):
    """A field of one card, three times: as it was exported, as the table has it, as the lot has it
    now. `moved`: the lot says something else than was exported."""

    field: Field
    exported: str
    given: str
    own: str
    moved: bool


class Conflict(NamedTuple):
    """A field that was changed in the table and in the lot. The lot keeps its own value."""

    position: int
    field: str
    exported: str
    file: str
    lot: str

    def __str__(self) -> str:
        return (
            f'card {self.position}: conflict in {self.field}: exported "{self.exported}", '
            f'in the file "{self.file}", in the lot "{self.lot}"'
        )


def parted(edits: Iterable[Cell], another: bool) -> tuple[list[Cell], list[Cell]]:
    """(the edits of a card that can be imported, those that are conflicts); `another`: the lot says
    now that it is another card."""
    wanted, conflicts = list[Cell](), list[Cell]()
    for cell in edits:
        clash = cell.moved or (another and cell.field.name in IDENTITY)
        (conflicts if clash else wanted).append(cell)
    return wanted, conflicts


class BaseCards:
    """The cards of a lot, found by what a row of an export was made from: by the stock number
    wherever the card is now, and before its first tag by its identity."""

    def __init__(self, lot: LotView, base: ExportBase) -> None:
        self._base = base
        self._by_id, self._by_running = dict[int, CardInLot](), dict[int, CardInLot]()
        for card in _cards(lot):
            self._by_id[card.pair.id] = card
            if card.mark.running:
                self._by_running[card.mark.running] = card

    def row(self, position: str, stock: str) -> BaseRow:
        """The exported row with this stock number, or at this position where it has none. Raises
        ValueError where there is none."""
        if not stock:
            found = self._base.by_position.get(position)
            what = f"card {printable(position, 40)}"
        else:
            read = read_stock_number(stock)
            own = read is not None and read.part == self._base.part
            found = self._base.by_running.get(read.running) if read and own else None
            what = f"the stock number {printable(stock, 40)}"
        if found is None:
            raise ValueError(f"{what} was not exported; delete the row, or export the lot again")
        return found

    def card(self, row: BaseRow) -> CardInLot | None:
        """The card as it is now, None where the lot has it no longer."""
        if row.running:
            return self._by_running.get(row.running)
        return self._by_id.get(row.id)


def _cards(lot: LotView) -> Iterator[CardInLot]:
    for position, pair in enumerate(lot.arrangement.pairs, start=1):
        yield CardInLot(position, pair, lot.mark(pair.id), lot.part)
