"""`tagger export`: the inventory as a file."""

from __future__ import annotations

import argparse
import os
from pathlib import Path

from tagger.commands.common import DONE, Command, find_lot, lot_arguments, tell
from tagger.commands.status import look_at
from tagger.core.order import split_scan
from tagger.core.text import printable
from tagger.errors import LotError, UsageError
from tagger.export.table import inventory, render
from tagger.store.files import SYSTEM, replace_durably


def _arguments(parser: argparse.ArgumentParser) -> None:
    lot_arguments(parser)
    parser.add_argument("--to", metavar="FILE", type=Path, required=True, help="where to: a .csv or .json file")


def _run(given: argparse.Namespace) -> int:
    place = find_lot(given)
    lot, _ = look_at(place)
    target = given.to
    shown = printable(str(target))
    if target.suffix.lower() not in (".csv", ".json"):
        raise UsageError(f"{shown}: an export is a .csv or a .json file; end the name so.")
    scans = {split_scan(name)[0] for pair in lot.arrangement.pairs for name in (pair.front, pair.back) if name}
    if target.parent.resolve() in (place.folder, place.home) and (
        target.name.startswith("lot.") or target.name in scans
    ):
        raise UsageError(f"{shown} belongs to the lot itself; choose another name.")
    if os.path.abspath(target.resolve()) in {os.path.realpath(path) for path in lot.checklists}:
        raise UsageError(f"{shown} is a checklist of this lot; choose another name.")
    if target.is_dir():
        raise UsageError(f"{shown} is a folder; name a file in it.")
    if not target.parent.is_dir():
        raise LotError(f"There is no folder {printable(str(target.parent))}; make it first.")
    table = inventory(lot)
    try:
        replace_durably(SYSTEM, target, render(table, place.name, target))
    except OSError as error:
        raise LotError(f"{shown} cannot be written: {error.strerror}.") from None
    open_cards = sum(row[table.columns.index("state")] != "tagged" for row in table.rows)
    tell(f"{len(table.rows)} cards written to {shown}" + (f", {open_cards} of them not tagged." if open_cards else "."))
    return DONE


COMMAND = Command(
    "export",
    "write the inventory as a table",
    ("tagger export scans/box12 --to box12.csv", "tagger export scans/box12 --to box12.json"),
    _arguments,
    _run,
)
