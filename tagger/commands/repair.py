"""`tagger repair`: puts a damaged lot right, and says beforehand what it would do."""

from __future__ import annotations

import argparse

from tagger.commands.common import DONE, EYE, Command, find_lot, lot_arguments
from tagger.errors import LotError, UsageError
from tagger.services.console import out
from tagger.store.lot.repair import plan, repair


def _arguments(parser: argparse.ArgumentParser) -> None:
    lot_arguments(parser)
    parser.add_argument(
        "--do", action="store_true", help="do it; without this, only say what would be done"
    )
    parser.add_argument(
        "--take", action="store_true", help="take what was changed in lot.json outside tagger"
    )
    parser.add_argument(
        "--leave",
        action="store_true",
        help="leave it, and keep the changed file under another name",
    )


def _run(given: argparse.Namespace) -> int:
    if given.take and given.leave:
        raise UsageError("Say --take or --leave, not both.")
    place = find_lot(given)
    if not place.kept:
        raise LotError(f"{place.name} was never opened, so there is nothing to repair.")
    wanted = given.do or given.take or given.leave
    what = (
        repair(place.home, place.name, given.take if given.take or given.leave else None)
        if wanted
        else plan(place.home)
    )
    for line in what.found:
        out(line)
    if not what.steps:
        out(f"{place.name} needs no repair.")
        return DONE
    out("Done:" if wanted else "This would be done:" if not what.choice else "Choose:")
    for step in what.steps:
        out(f"  {step}")
    if wanted:
        return DONE
    out("Nothing was changed." + ("" if what.choice else " tagger repair FOLDER --do does it."))
    return EYE


COMMAND = Command(
    "repair",
    "put a damaged lot right",
    (
        "tagger repair scans/box12",
        "tagger repair scans/box12 --do",
        "tagger repair scans/box12 --leave",
    ),
    _arguments,
    _run,
)
