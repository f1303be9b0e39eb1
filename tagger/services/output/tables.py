"""Tables written into files: the inventory of a lot, and lists over several."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import ExitStack
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple, cast

from tagger.core.lot.cells import plain
from tagger.core.lot.fields import LOT, PRINT_RUN
from tagger.core.model.counted import counted
from tagger.exchange import table_writer
from tagger.exchange.csv_form import PLAIN, CsvForm
from tagger.exchange.export_base import BaseWriter, base_path
from tagger.exchange.import_diff import KEYS
from tagger.exchange.layout.layout import ONE_PICTURE
from tagger.exchange.rows import RowCount, lots_inventory, lots_laid_out
from tagger.exchange.set_counts import SetCounts
from tagger.exchange.table import Row, Table
from tagger.exchange.table_writer import FORMS
from tagger.exchange.workbook_pictures import BookPictures
from tagger.services.console import tell
from tagger.services.lists.lot_checklists import print_runs
from tagger.services.output.paths import check_list, new_file, shown_target
from tagger.store.standard_streams import STDIO

if TYPE_CHECKING:
    from tagger.exchange.layout.layout import Layout
    from tagger.exchange.table_lots import TableLot


class TablePlan(NamedTuple):
    """A table that is to be written: a file of this kind (`.csv`), by a layout where there is one;
    `csv` is the form of a `.csv`."""

    target: Path
    ending: str
    layout: Layout | None = None
    csv: CsvForm = PLAIN


@dataclass(frozen=True)
class WrittenTable:
    """A table of lots that was written: so many rows, each a card or, with `kinds`, a kind of
    cards. `lot_cards` is how many cards the lots have."""

    target: Path
    lots: int
    lot_cards: int
    rows: int
    kinds: bool
    count: RowCount

    def summary(self) -> str:
        """What was written into a file, as a sentence."""
        cards = counted(self.lot_cards, "card")
        if self.count.cards != self.lot_cards:
            cards = f"{self.count.cards:,} of {cards}"
        if self.lots > 1:
            cards = f"{cards} in {self.lots:,} lots"
        what = f"{counted(self.rows, 'kind')}, {cards}," if self.kinds else cards
        untagged = f", {self.count.open} of them not tagged" if self.count.open else ""
        shown = shown_target(self.target)
        return f"{what} written to {shown}{untagged}.{self._left_out()}"

    def _left_out(self) -> str:
        count = self.count.left_out
        if not count:
            return ""
        return f" {counted(count, 'card was', 'cards were')} sold or pulled: --all has them too."


class Shown(NamedTuple):
    """The pictures that a workbook shows: `folder` is where the files lie that its cells name,
    `small` has small fronts by the lot's number and the card's position, None where none are
    wanted."""

    folder: Path | None = None
    small: Mapping[tuple[int, int], bytes] | None = None


NOT_SHOWN = Shown()


def write_tables(
    plans: Sequence[TablePlan],
    lots: Sequence[TableLot],
    force: bool = False,
    every: bool = False,
    shown: Shown = NOT_SHOWN,
) -> list[WrittenTable]:
    """Write tables of lots, all or none. `force` as for `check_target`; `every` has the cards that
    were sold or pulled as well. Raises UsageError and LotError."""
    made = [_Made(plan, lots, every, shown) for plan in plans]
    with ExitStack() as files:
        # What is entered first is replaced last: a table is there before its base.
        based = [one for one in made if one.base is not None]
        bases = [
            files.enter_context(new_file(base_path(one.plan.target), force=force)) for one in based
        ]
        for one in made:
            one.write(files.enter_context(new_file(one.plan.target, force=force)))
        for one, write in zip(based, bases, strict=True):
            one.write_base(write)
        for one in made:
            # Gone before the table is replaced: an old base beside a new table would tell lies.
            if one.plan.target != STDIO:
                base_path(one.plan.target).unlink(missing_ok=True)
    return [one.written() for one in made]


class _Made:
    """One table, with what is counted and noted while it is written."""

    def __init__(
        self, plan: TablePlan, lots: Sequence[TableLot], every: bool, shown: Shown
    ) -> None:
        self.plan, self._lots, self._shown = plan, lots, shown
        # Rows are made while they are written, so the counts are right only at the end.
        sets = SetCounts() if plan.ending == ".xlsx" else None
        self._count = RowCount(every=every, sets=sets)
        self._table = self._made()
        self.base = None if plan.target == STDIO else _base(lots, self._table)
        self._rows = _Counted(self._table.rows, self._count, self.base)

    def _made(self) -> Table:
        layout = self.plan.layout
        if layout is None:
            return lots_inventory(self._lots, self._count)
        lots = self._lots
        # Checklists are read only for a layout that asks for print runs.
        if layout.has(PRINT_RUN):
            lots = [replace(one, run_of=print_runs(one.lot.checklists)) for one in lots]
        return lots_laid_out(lots, layout, self._count)

    def write(self, write: Callable[[bytes], object]) -> None:
        plan = self.plan
        written_as = FORMS[plan.ending]
        if plan.csv != PLAIN:
            written_as = partial(table_writer.write_csv, form=plan.csv)
        names = ", ".join(one.name for one in self._lots)
        table = replace(self._table, rows=self._rows, pictures=self._pictures())
        written_as(table, names, write)

    def _pictures(self) -> BookPictures | None:
        if self.plan.ending != ".xlsx" or self._table.entries != "cards":
            return None
        return BookPictures(self._links(), None if self._shown.small is None else self._small)

    def _links(self) -> Mapping[int, str]:
        folder, layout = self._shown.folder, self.plan.layout
        if folder is None:
            return {}
        before = ""
        # with a prefix of its own a layout says where they are
        if layout is None or not layout.pictures.before:
            before = f"{os.path.relpath(folder, self.plan.target.parent)}/"
        columns = enumerate(self._table.fields)
        return {at: before for at, name in columns if name.casefold() in ONE_PICTURE}

    def _small(self) -> bytes:
        card = self._count.last
        if card is None or not self._shown.small:
            return b""
        return self._shown.small.get((self._count.at, card.position), b"")

    def write_base(self, write: Callable[[bytes], object]) -> None:
        for part in self.base.finished() if self.base is not None else ():
            write(part)

    def written(self) -> WrittenTable:
        cards = sum(one.lot.cards for one in self._lots)
        kinds = self._table.entries == "kinds"
        return WrittenTable(
            self.plan.target, len(self._lots), cards, self._rows.count, kinds, self._count
        )


def _base(lots: Sequence[TableLot], table: Table) -> BaseWriter | None:
    """What notes what a table is made from, None where it could not be imported anyway."""
    needed = {*KEYS} if len(lots) == 1 else {*KEYS, LOT}
    if table.entries != "cards" or not needed <= {*table.fields}:
        return None
    if len(lots) == 1:
        return BaseWriter(lots[0].lot.part, table.columns, table.fields)
    parts = [(one.lot.part, one.name) for one in lots]
    return BaseWriter("", table.columns, table.fields, parts)


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
                self._base.row(self._cards.last, row, self._cards.at)
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
