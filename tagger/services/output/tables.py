"""Tables written into files: the inventory of a lot, and lists over several."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, cast

from tagger.core.lot.cells import plain
from tagger.core.lot.fields import PRINT_RUN, run_of_serial
from tagger.core.model.counted import counted
from tagger.exchange import table_writer
from tagger.exchange.csv_form import PLAIN, CsvForm
from tagger.exchange.export_base import BaseWriter, base_path
from tagger.exchange.import_diff import KEYS
from tagger.exchange.rows import NO_FURTHER, FurtherColumns, RowCount, inventory, laid_out
from tagger.exchange.set_counts import SetCounts
from tagger.exchange.table import Row, Table
from tagger.exchange.table_writer import FORMS
from tagger.services.console import tell
from tagger.services.lists.lot_checklists import print_runs
from tagger.services.output.layouts import named_layout
from tagger.services.output.paths import check_list, new_file, shown_target
from tagger.store.standard_streams import STDIO

if TYPE_CHECKING:
    from tagger.core.lot.lot import LotState


@dataclass(frozen=True)
class WrittenTable:
    """A table of a lot that was written: so many rows, each a card or, with `kinds`, a kind of
    cards."""

    lot_cards: int
    rows: int
    kinds: bool
    count: RowCount

    def summary(self, shown: str) -> str:
        """What was written into a file, as a sentence."""
        cards = counted(self.lot_cards, "card")
        if self.count.cards != self.lot_cards:
            cards = f"{self.count.cards:,} of {cards}"
        what = f"{counted(self.rows, 'kind')}, {cards}," if self.kinds else cards
        untagged = f", {self.count.open} of them not tagged" if self.count.open else ""
        return f"{what} written to {shown}{untagged}.{self._left_out()}"

    def _left_out(self) -> str:
        count = self.count.left_out
        if not count:
            return ""
        return f" {counted(count, 'card was', 'cards were')} sold or pulled: --all has them too."


def write_inventory(
    target: Path,
    ending: str,
    name: str,
    lot: LotState,
    layout: str | None = None,
    ours: FurtherColumns = NO_FURTHER,
    force: bool = False,
    every: bool = False,
    csv: CsvForm = PLAIN,
) -> WrittenTable:
    """Write the inventory of a lot as a file of this kind (`.csv`), by the layout that is named.
    `ours` are columns beside those of the lot; `force` as for `check_target`; `every` has the cards
    that were sold or pulled as well; `csv` is the form of a `.csv`. Raises UsageError and
    LotError."""
    # Rows are made while they are written, so the counts are right only at the end.
    sets = SetCounts() if ending == ".xlsx" else None
    count = RowCount(every=every, sets=sets)
    made = _table(lot, name, layout, count, ours)
    base = None if target == STDIO else _base(lot, made)
    rows = _Counted(made.rows, count, base)
    written_as = FORMS[ending] if csv == PLAIN else partial(table_writer.write_csv, form=csv)
    with new_file(target, force=force) as write:
        written_as(replace(made, rows=rows), name, write)
        # Gone before the table is replaced: an old base beside a new table would tell lies.
        if target != STDIO:
            base_path(target).unlink(missing_ok=True)
    if base is not None:
        with new_file(base_path(target), force=force) as write:
            for part in base.finished():
                write(part)
    return WrittenTable(lot.cards, rows.count, made.entries == "kinds", count)


def _table(
    lot: LotState, name: str, named: str | None, count: RowCount, ours: FurtherColumns
) -> Table:
    if named is None:
        return inventory(lot, count, ours)
    layout = named_layout(named)
    # Checklists are read only for a layout that asks for print runs.
    run_of = print_runs(lot.checklists) if layout.has(PRINT_RUN) else run_of_serial
    return laid_out(lot, name, layout, count, run_of, ours)


def _base(lot: LotState, table: Table) -> BaseWriter | None:
    """What notes what a table is made from, None where it could not be imported anyway."""
    if table.entries != "cards" or not {*KEYS} <= {*table.fields}:
        return None
    return BaseWriter(lot.part, table.columns, table.fields)


class _Counted:
    """Rows, counted while they are read, and noted in the base where there is one."""

    def __init__(self, rows: Iterable[Row], cards: RowCount, base: BaseWriter | None) -> None:
        self._rows, self._cards, self._base = rows, cards, base
        self.count = 0

    def __iter__(self) -> Iterator[Row]:
        for row in self._rows:
            self.count += 1
            # Rows are made one by one, so the card counted last is this row's.
            if self._base is not None and self._cards.last is not None:
                self._base.row(self._cards.last, row)
            yield row


def write_list(
    target: Path,
    columns: Sequence[str],
    rows: Sequence[Sequence[str | int | Decimal]],
    checklists: Sequence[str],
    force: bool = False,
) -> None:
    """Write a list as CSV; a cell that a spreadsheet would run as a formula is made harmless.
    `checklists` must not be written over; `force` as for `check_target`. Raises UsageError,
    LotError."""
    check_list(target, checklists, force)
    # a CSV file holds a sum like any number
    cells = cast("Iterable[Row]", (tuple(map(_cell, row)) for row in rows))
    with new_file(target, force=force) as write:
        table_writer.write_csv(Table(tuple(columns), cells), "", write)
    tell(f"{counted(len(rows), 'line')} written to {shown_target(target)}.")


def _cell(value: str | int | Decimal) -> str | int | Decimal:
    # A text that begins with = + - or @ may run as a formula (OWASP, CSV Injection); a number
    # cannot.
    return plain(value) if isinstance(value, str) else value
