"""`tagger repair`: puts a damaged lot right, and says beforehand what it would do."""

from __future__ import annotations

import argparse

from tagger.commands.common import DONE, EYE, Command, find_lot, lot_arguments
from tagger.errors import LotError, UsageError
from tagger.services.console import out, out_lines
from tagger.store.lot.repair import RepairPlan, plan, repair

DO_IT = "tagger repair FOLDER --do does it."


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
    if given.do or given.take or given.leave:
        # With --do alone neither is chosen: then there must be nothing to choose.
        chosen = given.take if given.take or given.leave else None
        return _print(repair(place.home, place.name, chosen), place.name, done=True)
    return _print(plan(place.home), place.name, done=False)


def _print(what: RepairPlan, name: str, done: bool) -> int:
    out_lines(what.found)
    if not what.steps:
        out(f"{name} needs no repair.")
        return DONE
    out(_heading(what, done))
    out_lines(f"  {step}" for step in what.steps)
    if done:
        return DONE
    # Where there is a choice --do alone is refused, so it is not offered.
    out("Nothing was changed." if what.choice else f"Nothing was changed. {DO_IT}")
    return EYE


def _heading(what: RepairPlan, done: bool) -> str:
    if done:
        return "Done:"
    return "Choose:" if what.choice else "This would be done:"


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
