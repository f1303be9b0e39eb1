"""`tagger export`: the inventory as a file, and the cards' pictures."""

from __future__ import annotations

import argparse
import os
from pathlib import Path

from tagger.commands.arguments.layouts import ShowLayouts, layout_argument
from tagger.commands.arguments.pictures import picture_arguments, read_picture_arguments
from tagger.commands.common import DONE, Command, eye_if, find_lot, lot_arguments
from tagger.core.lot.fields import PRINT_RUN, run_of_serial
from tagger.core.lot.lot import LotState
from tagger.core.model.text import printable
from tagger.errors import UsageError
from tagger.exchange.rows import NO_FURTHER, FurtherColumns
from tagger.exchange.shown.pictures import picture_columns
from tagger.exchange.table import FORMS
from tagger.services.console import tell, tell_first
from tagger.services.lot_checklists import print_runs
from tagger.services.opening import look
from tagger.services.output.paths import check_folder, check_target
from tagger.services.output.pictures import TOLD, Written, WrittenAs, write_pictures
from tagger.services.output.tables import write_inventory
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
    wanted = read_picture_arguments(given)
    if given.to is None and given.images is None:
        raise UsageError(
            "Say where to: --to FILE for the table, --images DIR for the pictures, or both."
        )
    if given.to is None and given.layout is not None:
        raise UsageError("--layout goes with --to FILE.")
    place = find_lot(given)
    lot, _ = look(place)
    # All of it is checked before any of it is written.
    _check(given, place, lot)
    status, columns = DONE, NO_FURTHER
    if given.images is not None:
        pictures = _write_pictures(given.images, place, lot, wanted)
        status = eye_if(pictures.missing or pictures.damaged)
        columns = picture_columns(pictures.files)
    if given.to is not None:
        status = max(status, _write_table(given, place, lot, columns))
    return status


def _check(given: argparse.Namespace, place: LotPlace, lot: LotState) -> None:
    if given.to is not None:
        _check_table(given.to, place, lot, given.layout)
    if given.images is not None:
        check_folder(given.images, place, lot)
    if given.to is not None and given.images is not None:
        _check_apart(given.to, given.images)


def _check_table(target: Path, place: LotPlace, lot: LotState, layout: str | None) -> None:
    """Raises UsageError or LotError where the file must not or cannot be written."""
    check_target(target, place, lot, tuple(FORMS), "an export")
    if layout is not None and os.path.realpath(layout) == os.path.realpath(target):
        raise UsageError(f"{printable(str(target))} is the layout itself; choose another name.")


def _check_apart(target: Path, images: Path) -> None:
    """Raises UsageError where the table would lie among the pictures, whose folder has nothing
    else."""
    folder = os.path.realpath(images)
    if folder in (os.path.realpath(target), os.path.realpath(target.parent)):
        raise UsageError(
            "The table cannot lie among the pictures; choose another folder for one of them."
        )


def _write_pictures(into: Path, place: LotPlace, lot: LotState, wanted: WrittenAs) -> Written:
    # Checklists are read only for names that have the print run in them.
    runs = print_runs(lot.checklists) if PRINT_RUN in wanted.name.casefold() else run_of_serial
    done = write_pictures(place, lot, into, wanted, runs)
    tell_first(done.missing, TOLD, "{} more pictures could not be made.")
    tell_first(done.damaged, TOLD, "{} more pictures show damage.")
    tell(done.summary(printable(str(into))))
    return done


def _write_table(
    given: argparse.Namespace, place: LotPlace, lot: LotState, columns: FurtherColumns
) -> int:
    done = write_inventory(given.to, place.name, lot, given.layout, columns)
    for note in done.count.notes:
        tell(note)
    tell(done.summary(printable(str(given.to))))
    return eye_if(done.count.notes)


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
