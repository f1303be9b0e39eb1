"""`tagger export`: the inventory as a file."""

from __future__ import annotations

import argparse
import os
from collections.abc import Iterator
from pathlib import Path

from tagger.commands.common import DONE, EYE, Command, find_lot, lot_arguments, tell
from tagger.commands.layouts import ShowLayouts, layout_argument, print_runs, read_named
from tagger.commands.status import look_at
from tagger.core.fields import run_of_serial
from tagger.core.lot import LotState
from tagger.core.order import split_scan
from tagger.core.text import printable
from tagger.errors import LotError, UsageError
from tagger.export.rows import Told, inventory, laid_out
from tagger.export.table import FORMS, Row, Table
from tagger.store.files import SYSTEM, replacing
from tagger.store.places import LotPlace


def _arguments(parser: argparse.ArgumentParser) -> None:
    lot_arguments(parser)
    endings = ", ".join(FORMS)
    parser.add_argument("--to", metavar="FILE", type=Path, required=True, help=f"where to: a file that ends {endings}")
    layout_argument(parser)
    parser.add_argument("--layouts", action=ShowLayouts, help="list the layouts that come along, or print one")


def _run(given: argparse.Namespace) -> int:
    place = find_lot(given)
    lot, _ = look_at(place)
    target = given.to
    shown = printable(str(target))
    _check(target, place, lot, given.layout)
    told = Told()
    table = _table(lot, place, given.layout, told)
    rows = _Counted(table)
    try:
        with replacing(SYSTEM, target) as write:
            FORMS[target.suffix.lower()](Table(table.columns, rows, table.entries), place.name, write)
    except OSError as error:
        raise LotError(f"{shown} cannot be written: {error.strerror}.") from None
    for note in told.notes:
        tell(note)
    what = f"{told.cards} cards" if told.cards == lot.cards else f"{told.cards} of {lot.cards} cards"
    if table.entries == "kinds":
        what = f"{rows.count} kinds, {what},"
    tell(f"{what} written to {shown}" + (f", {told.open} of them not tagged." if told.open else "."))
    return EYE if told.notes else DONE


def _check(target: Path, place: LotPlace, lot: LotState, layout: str | None) -> None:
    """Raises UsageError or LotError where the file must not or cannot be written."""
    shown = printable(str(target))
    if target.suffix.lower() not in FORMS:
        *first, last = FORMS
        raise UsageError(f"{shown}: an export is a {', '.join(first)} or {last} file; end the name so.")
    scans = {split_scan(name)[0] for pair in lot.arrangement.pairs for name in (pair.front, pair.back) if name}
    if target.parent.resolve() in (place.folder, place.home) and (
        target.name.startswith("lot.") or target.name in scans
    ):
        raise UsageError(f"{shown} belongs to the lot itself; choose another name.")
    if os.path.abspath(target.resolve()) in {os.path.realpath(path) for path in lot.checklists}:
        raise UsageError(f"{shown} is a checklist of this lot; choose another name.")
    if layout is not None and os.path.realpath(layout) == os.path.realpath(target):
        raise UsageError(f"{shown} is the layout itself; choose another name.")
    if target.is_dir():
        raise UsageError(f"{shown} is a folder; name a file in it.")
    if not target.parent.is_dir():
        raise LotError(f"There is no folder {printable(str(target.parent))}; make it first.")


def _table(lot: LotState, place: LotPlace, named: str | None, told: Told) -> Table:
    if named is None:
        return inventory(lot, told)
    layout = read_named(named)
    return laid_out(lot, place.name, layout, told, print_runs(lot.checklists) if layout.has("run") else run_of_serial)


class _Counted:
    """The rows of a table, counted while they are read."""

    def __init__(self, table: Table) -> None:
        self._table = table
        self.count = 0

    def __iter__(self) -> Iterator[Row]:
        for row in self._table.rows:
            self.count += 1
            yield row


COMMAND = Command(
    "export",
    "write the inventory as a table",
    (
        "tagger export scans/box12 --to box12.csv",
        "tagger export scans/box12 --to box12.xlsx --layout listing",
        "tagger export scans/box12 --to box12.json --layout my-shop.toml",
        "tagger export --layouts",
    ),
    _arguments,
    _run,
)
