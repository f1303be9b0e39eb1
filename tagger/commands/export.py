"""`tagger export`: the inventory as a file."""

from __future__ import annotations

import argparse
import os
from collections.abc import Iterator
from pathlib import Path

from tagger.commands.common import DONE, EYE, Command, find_lot, lot_arguments
from tagger.commands.layouts import ShowLayouts, layout_argument, print_runs, read_named
from tagger.core.lot.fields import run_of_serial
from tagger.core.lot.lot import LotState
from tagger.core.model.text import printable
from tagger.errors import LotError, UsageError
from tagger.exchange.rows import RowCount, inventory, laid_out
from tagger.exchange.shown.pictures import with_pictures
from tagger.exchange.table import FORMS, Row, Table
from tagger.services.console import tell
from tagger.services.opening import look
from tagger.services.output_paths import check_folder, check_target
from tagger.services.pictures import picture_arguments, told, wish_of, write_pictures
from tagger.store.files import SYSTEM, replacing
from tagger.store.machine.paths import LotPlace


def _arguments(parser: argparse.ArgumentParser) -> None:
    lot_arguments(parser)
    endings = ", ".join(FORMS)
    parser.add_argument(
        "--to", metavar="FILE", type=Path, help=f"where to: a file that ends {endings}"
    )
    layout_argument(parser)
    parser.add_argument(
        "--layouts", action=ShowLayouts, help="list the layouts that come along, or print one"
    )
    picture_arguments(parser)


def _run(given: argparse.Namespace) -> int:
    wish_of(given)
    if given.to is None and given.images is None:
        raise UsageError(
            "Say where to: --to FILE for the table, --images DIR for the pictures, or both."
        )
    if given.to is None and given.layout is not None:
        raise UsageError("--layout goes with --to FILE.")
    place = find_lot(given)
    lot, _ = look(place)
    if given.to is not None:
        _check(given.to, place, lot, given.layout)
    if given.images is None:
        return _write_table(given, place, lot)
    check_folder(given.images, place, lot)
    images = os.path.realpath(given.images)
    if given.to is not None and images in (
        os.path.realpath(given.to),
        os.path.realpath(given.to.parent),
    ):
        raise UsageError(
            "The table cannot lie among the pictures; choose another folder for one of them."
        )
    runs = print_runs(lot.checklists) if "run" in (given.name or "").casefold() else run_of_serial
    done = write_pictures(place, lot, given, runs)
    tell(told(done, printable(str(given.images))))
    status = EYE if done.missing or done.damaged else DONE
    return (
        max(status, _write_table(given, place, with_pictures(lot, done.files)))
        if given.to
        else status
    )


def _write_table(given: argparse.Namespace, place: LotPlace, lot: LotState) -> int:
    target = given.to
    shown = printable(str(target))
    count = RowCount()
    table = _table(lot, place, given.layout, count)
    rows = _Counted(table)
    try:
        with replacing(SYSTEM, target) as write:
            FORMS[target.suffix.lower()](
                Table(table.columns, rows, table.entries), place.name, write
            )
    except OSError as error:
        raise LotError(f"{shown} cannot be written: {error.strerror}.") from None
    for note in count.notes:
        tell(note)
    what = (
        f"{count.cards} cards"
        if count.cards == lot.cards
        else f"{count.cards} of {lot.cards} cards"
    )
    if table.entries == "kinds":
        what = f"{rows.count} kinds, {what},"
    tell(
        f"{what} written to {shown}"
        + (f", {count.open} of them not tagged." if count.open else ".")
    )
    return EYE if count.notes else DONE


def _check(target: Path, place: LotPlace, lot: LotState, layout: str | None) -> None:
    """Raises UsageError or LotError where the file must not or cannot be written."""
    check_target(target, place, lot, tuple(FORMS), "an export")
    if layout is not None and os.path.realpath(layout) == os.path.realpath(target):
        raise UsageError(f"{printable(str(target))} is the layout itself; choose another name.")


def _table(lot: LotState, place: LotPlace, named: str | None, told: RowCount) -> Table:
    if named is None:
        return inventory(lot, told)
    layout = read_named(named)
    return laid_out(
        lot,
        place.name,
        layout,
        told,
        print_runs(lot.checklists) if layout.has("run") else run_of_serial,
    )


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
    "write the inventory as a table, and the cards' pictures",
    (
        "tagger export scans/box12 --to box12.csv",
        "tagger export scans/box12 --to box12.xlsx --layout listing",
        "tagger export scans/box12 --to box12.json --layout my-shop.toml",
        "tagger export scans/box12 --images box12-pictures --longest 1600 --srgb",
        "tagger export --layouts",
    ),
    _arguments,
    _run,
)
