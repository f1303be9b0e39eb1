"""`tagger export`: the inventory as a file, and the cards' pictures."""

from __future__ import annotations

import argparse
import os
from collections.abc import Sequence
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.commands.arguments import options
from tagger.commands.arguments.layouts import (
    ShowLayouts,
    csv_arguments,
    csv_form,
    ending_of,
    format_argument,
    layout_argument,
)
from tagger.commands.arguments.pictures import picture_arguments, read_picture_arguments
from tagger.commands.arguments.schema import ShowSchema
from tagger.commands.common import Command, attention_if, find_lot, lot_arguments
from tagger.config import load_settings
from tagger.core.lot.fields import PRINT_RUN, run_of_serial
from tagger.core.lot.offers import listed_marks
from tagger.core.model.counted import counted
from tagger.core.model.text import printable
from tagger.core.session.stock_status import today_at
from tagger.errors import DONE, LotError, UsageError
from tagger.exchange.export_base import base_path
from tagger.exchange.rows import NO_FURTHER, FurtherColumns
from tagger.exchange.shown.pictures import picture_columns
from tagger.exchange.table_writer import FORMS
from tagger.services.console import complain, complain_first, tell
from tagger.services.lists.lot_checklists import print_runs
from tagger.services.opening import change, look
from tagger.services.output.paths import check_folder, check_target, shown_target
from tagger.services.output.pictures import TOLD, Written, WrittenAs, write_pictures
from tagger.services.output.tables import write_inventory
from tagger.store.machine.paths import config_file
from tagger.store.standard_streams import STDIO

if TYPE_CHECKING:
    from tagger.core.lot.lot import LotState
    from tagger.core.session.session import Session
    from tagger.exchange.rows import RowCount
    from tagger.store.machine.paths import LotPlace


def _arguments(parser: argparse.ArgumentParser) -> None:
    lot_arguments(parser)
    endings = ", ".join(FORMS)
    options.path(parser, "--to", "FILE", f"the file to write: {endings}; - for standard output")
    options.force(parser)
    options.every_card(parser)
    layout_argument(parser)
    format_argument(parser)
    csv_arguments(parser)
    parser.add_argument(
        "--layouts", action=ShowLayouts, help="list the built-in layouts, or print one"
    )
    parser.add_argument(
        "--schema", action=ShowSchema, help="print the JSON Schema of a table written as .json"
    )
    said = "mark the cards in the table as listed in SHOP, for layouts with [only] new = true"
    options.text(parser, "--mark-listed", "SHOP", said)
    picture_arguments(parser)


def _run(given: argparse.Namespace) -> int:
    wanted = read_picture_arguments(given)
    if given.to is None:
        _check_without_table(given)
    shop = _shop(given)
    place = find_lot(given)
    with ExitStack() as opened:
        session = None
        if shop:
            # held meanwhile, so that the marks are those of the cards as they are written
            session = opened.enter_context(change(place, load_settings(config_file())))
            _check_can_change(session)
        lot, _ = look(place)
        place = place.called(lot.name)
        # All of it is checked before any of it is written.
        _check(given, place, lot)
        status, ids = _write(given, place, lot, wanted)
        if session is not None:
            _mark_listed(session, ids, shop)
    return status


def _shop(given: argparse.Namespace) -> str:
    """The shop to note, empty where none is to be noted. Raises UsageError."""
    if given.mark_listed is None:
        return ""
    if given.to is None:
        raise UsageError("--mark-listed goes with --to FILE.")
    if not (shop := " ".join(given.mark_listed.split())):
        raise UsageError("--mark-listed needs the name of the shop.")
    return shop


def _check_can_change(session: Session) -> None:
    if session.looking:
        raise LotError(f"Nothing was written: the cards cannot be marked, {session.looking}.")


def _mark_listed(session: Session, ids: Sequence[int], shop: str) -> None:
    today = today_at(session.now())
    marks = list(listed_marks(session.view, ids, shop, today))
    shown = printable(shop)
    if not marks:
        tell(f"No card was marked: none is newly listed at {shown}.")
        return
    session.enter(f"{counted(len(marks), 'card')} listed at {shown}", marks)
    tell(f"{counted(len(marks), 'card')} marked as listed at {shown}.")


def _check_without_table(given: argparse.Namespace) -> None:
    """Raises UsageError where no table is asked for, but nothing else or something of it."""
    if given.images is None:
        raise UsageError(
            "Name what to write: --to FILE for the table, --images DIR for the pictures, or both."
        )
    # A layout shapes the table alone; passed over in silence it would be missed.
    if given.layout is not None:
        raise UsageError("--layout goes with --to FILE.")
    if given.format is not None:
        raise UsageError("--format goes with --to FILE.")
    if given.csv is not None or given.no_guard:
        raise UsageError("--csv and --no-guard go with --to FILE.")


def _write(
    given: argparse.Namespace, place: LotPlace, lot: LotState, wanted: WrittenAs
) -> tuple[int, Sequence[int]]:
    """The exit status, and the identities of the cards in the table."""
    status, columns, ids = DONE, NO_FURTHER, list[int]()
    if given.images is not None:
        # Before the table, which has a column of their names.
        pictures = _write_pictures(given, place, lot, wanted)
        status = attention_if(pictures.missing or pictures.damaged)
        columns = picture_columns(pictures.files)
    if given.to is not None:
        # The graver of the two: a higher status says more of what went wrong.
        count = _write_table(given, place, lot, columns)
        status, ids = max(status, attention_if(count.notes)), count.ids
    return status, ids


def _check(given: argparse.Namespace, place: LotPlace, lot: LotState) -> None:
    if given.to is not None:
        _check_table(given, place, lot)
    if given.images is not None:
        check_folder(given.images, place, lot)
    if given.to is not None and given.images is not None:
        _check_apart(given.to, given.images)


def _check_table(given: argparse.Namespace, place: LotPlace, lot: LotState) -> None:
    """Raises UsageError or LotError where the file must not or cannot be written."""
    target, layout = given.to, given.layout
    csv_form(given, ending_of(target, given.format))
    # Who names the format may call the file as he likes.
    check_target(target, place, lot, () if given.format else tuple(FORMS), "an export", given.force)
    if target != STDIO:
        check_target(base_path(target), place, lot, force=given.force)
    # Compared where links lead, so that no export replaces the file that it is made by.
    if layout is not None and os.path.realpath(layout) == os.path.realpath(target):
        raise UsageError(f"{printable(str(target))} is the layout itself; choose another name.")


def _check_apart(target: Path, images: Path) -> None:
    """Raises UsageError where the table would lie among the pictures, whose folder has nothing
    else."""
    folder = os.path.realpath(images)
    if target != STDIO and folder in map(os.path.realpath, (target, target.parent)):
        raise UsageError(
            "The table cannot be in the pictures' folder; choose another folder for one of them."
        )


def _write_pictures(
    given: argparse.Namespace, place: LotPlace, lot: LotState, wanted: WrittenAs
) -> Written:
    into = given.images
    # Checklists are read only for names that have the print run in them.
    runs = print_runs(lot.checklists) if PRINT_RUN in wanted.name.casefold() else run_of_serial
    done = write_pictures(place, lot, into, wanted, runs, given.all)
    complain_first(
        done.missing, TOLD, "more picture could not be made", "more pictures could not be made"
    )
    complain_first(done.damaged, TOLD, "more picture shows damage", "more pictures show damage")
    tell(done.summary(printable(str(into))))
    return done


def _write_table(
    given: argparse.Namespace, place: LotPlace, lot: LotState, columns: FurtherColumns
) -> RowCount:
    ending = ending_of(given.to, given.format)
    form = csv_form(given, ending)
    done = write_inventory(
        given.to, ending, place.name, lot, given.layout, columns, given.force, given.all, form
    )
    for note in done.count.notes:
        complain(note)
    tell(done.summary(shown_target(given.to)))
    return done.count


HELP = "write the inventory as a table, and the cards' pictures"
EXAMPLES = (
    "tagger export scans/box12 --to box12.csv",
    "tagger export scans/box12 --to box12.xlsx --layout listing",
    "tagger export scans/box12 --to box12.json --layout my-shop.toml",
    "tagger export scans/box12 --images box12-pictures --max-size 1600 --srgb",
    "tagger export scans/box12 --to new.csv --layout shop.toml --mark-listed mine",
    "tagger export --layouts",
)
COMMAND = Command("export", HELP, EXAMPLES, _arguments, _run)
