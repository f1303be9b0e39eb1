"""`tagger export`: the inventory as a file, and the cards' pictures."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Sequence
from contextlib import ExitStack
from typing import TYPE_CHECKING

from tagger.commands.arguments import options
from tagger.commands.arguments.layouts import ShowLayouts, csv_arguments, format_argument
from tagger.commands.arguments.pictures import picture_arguments, read_picture_arguments
from tagger.commands.arguments.schema import ShowSchema
from tagger.commands.arguments.tables import (
    fill_from_profile,
    filters,
    lot_places,
    lots_arguments,
    named_layouts,
    table_arguments,
    table_plans,
)
from tagger.commands.common import Command, attention_if
from tagger.config import load_settings
from tagger.core.lot.offers import listed_marks
from tagger.core.model.counted import counted
from tagger.core.model.text import natural, printable
from tagger.core.session.stock_status import today_at
from tagger.errors import LotError, UsageError
from tagger.services.console import complain, tell
from tagger.services.lists.lot_checklists import ListPrices
from tagger.services.lot_changes import LotChange, enter_held
from tagger.services.lot_selection import NO_LOTS
from tagger.services.opening import change, look
from tagger.services.output.lots_export import ExportedLot, HowExported, LotsExport
from tagger.store.machine.paths import config_file

if TYPE_CHECKING:
    from tagger.config import Settings
    from tagger.core.session.session import Session
    from tagger.store.machine.paths import LotPlace


def _arguments(parser: argparse.ArgumentParser) -> None:
    lots_arguments(parser)
    table_arguments(parser)
    options.force(parser)
    options.every_card(parser)
    format_argument(parser)
    csv_arguments(parser)
    options.flag(parser, "--thumbnails", "show the fronts small in a .xlsx")
    parser.add_argument(
        "--layouts", action=ShowLayouts, help="list the built-in layouts, or print one"
    )
    parser.add_argument(
        "--schema", action=ShowSchema, help="print the JSON Schema of a table written as .json"
    )
    said = "mark the cards in the table as listed in SHOP; [only] new = true is then of that shop"
    options.text(parser, "--mark-listed", "SHOP", said)
    picture_arguments(parser)


def _run(given: argparse.Namespace) -> int:
    settings = load_settings(config_file())
    fill_from_profile(given, settings)
    wanted = read_picture_arguments(given)
    if not given.to:
        _check_without_table(given)
    shop, only = _shop(given), filters(given, settings.scale)
    layouts = named_layouts(given, shop, settings.scale)
    plans, places = table_plans(given, layouts), lot_places(given)
    with ExitStack() as opened:
        skipped: list[str] = []
        prices = ListPrices()
        held = [*_read(places, given, settings if shop else None, opened, skipped)]
        lots = [one._replace(state=prices.lot(one.state)) for one in held]
        any_ending = given.format is not None
        how = HowExported(
            given.images, wanted, given.force, given.all, any_ending, given.thumbnails
        )
        export = LotsExport(plans, layouts, lots, only, how)
        # All of it is checked before any of it is written.
        export.check()
        for sentence in prices.unread:
            complain(f"{sentence} Prices are as they were when the cards were tagged.")
        status = export.write()
        if shop:
            _mark_listed(export, shop)
    for message in skipped:
        complain(message)
    return max(status, attention_if(skipped or prices.unread))


def _read(
    places: Sequence[LotPlace],
    given: argparse.Namespace,
    marking: Settings | None,
    opened: ExitStack,
    skipped: list[str],
) -> Iterator[ExportedLot]:
    """The lots, by name. With `marking` they are held meanwhile, so that the marks are those of the
    cards as they are written. Of all lots those that cannot be read are skipped."""
    found = []
    for place in places:
        try:
            if given.all_lots:
                _check_kept(place)
            session = _held(place, marking, opened)
            lot, _ = look(place)
        except LotError as error:
            # one on a drive that is not there must not hide all others
            if not given.all_lots or marking:
                raise
            skipped.append(error.message)
            continue
        found.append(ExportedLot(place.called(lot.name), lot, session))
    if not found:
        raise LotError(" ".join(skipped) or NO_LOTS)
    return iter(sorted(found, key=lambda one: natural(one.place.name)))


def _check_kept(place: LotPlace) -> None:
    if not place.kept:
        raise LotError(f"The lot {place.name} was skipped: nothing is stored there.")


def _held(place: LotPlace, marking: Settings | None, opened: ExitStack) -> Session | None:
    """A lot that is held until the end, where its cards are to be marked."""
    if marking is None:
        return None
    session = opened.enter_context(change(place, marking))
    if session.looking:
        raise LotError(f"Nothing was written: the cards cannot be marked, {session.looking}.")
    return session


def _shop(given: argparse.Namespace) -> str:
    """The shop to note, empty where none is to be noted. Raises UsageError."""
    if given.mark_listed is None:
        return ""
    if not given.to:
        raise UsageError("--mark-listed goes with --to FILE.")
    if not (shop := " ".join(given.mark_listed.split())):
        raise UsageError("--mark-listed needs the name of the shop.")
    return shop


def _mark_listed(export: LotsExport, shop: str) -> None:
    shown, total = printable(shop), 0
    changes = []
    for at, one in enumerate(export.lots):
        if one.session is None:
            continue
        today = today_at(one.session.now())
        marks = list(listed_marks(one.session.view, one.state, export.ids(at), shop, today))
        if marks:
            label = f"{counted(len(marks), 'card')} listed at {shown}"
            changes.append((LotChange(one.place, label, marks), one.session))
            total += len(marks)
    if not total:
        tell(f"No card was marked: none is newly listed at {shown}.")
        return
    enter_held(changes)
    tell(f"{counted(total, 'card')} marked as listed at {shown}.")


def _check_without_table(given: argparse.Namespace) -> None:
    """Raises UsageError where no table is asked for, but nothing else or something of it."""
    if given.images is None:
        raise UsageError(
            "Name what to write: --to FILE for the table, --images DIR for the pictures, or both."
        )
    # Without a table it would be missed; a layout says which cards the pictures are of.
    if given.format is not None:
        raise UsageError("--format goes with --to FILE.")
    if given.csv is not None or given.no_guard:
        raise UsageError("--csv and --no-guard go with --to FILE.")


HELP = "write the inventory as a table, and the cards' pictures"
EXAMPLES = (
    "tagger export scans/box12 --to box12.csv",
    "tagger export scans/box12 --to box12.xlsx --layout listing",
    "tagger export scans/box12 scans/box13 --to both.json --layout my-shop.toml",
    "tagger export --all-lots --only 'gold over 5' --to gold.csv",
    "tagger export --all-lots --profile shop",
    "tagger export scans/box12 --images box12-pictures --max-size 1600 --srgb",
    "tagger export scans/box12 --to new.csv --layout shop.toml --mark-listed mine",
    "tagger export --layouts",
)
COMMAND = Command("export", HELP, EXAMPLES, _arguments, _run)
