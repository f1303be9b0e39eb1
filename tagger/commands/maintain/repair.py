"""`tagger repair`: repairs a damaged lot, and says beforehand what it would do."""

from __future__ import annotations

import argparse

from tagger.commands.arguments import options
from tagger.commands.common import Command, find_lot, lot_arguments
from tagger.errors import ATTENTION, DONE, LotError, UsageError
from tagger.services.console import out, out_lines
from tagger.store.lot.repair import RepairPlan, plan, repair
from tagger.store.lot.watch.standing import NOWHERE
from tagger.store.machine.lots import LotList
from tagger.store.machine.paths import data_folder

APPLY = "tagger repair FOLDER --apply does it."


def _arguments(parser: argparse.ArgumentParser) -> None:
    lot_arguments(parser)
    options.flag(parser, "--apply", "do it (default: only say what would be done)")
    options.flag(
        parser, "--keep-edits", "keep what was edited in lot.json outside tagger, as one change"
    )
    options.flag(
        parser, "--discard-edits", "discard it, and keep the edited file under another name"
    )
    options.flag(
        parser,
        "--keep-rescued",
        "restore the tags of a sitting in which another program replaced lot.journal",
    )
    options.flag(parser, "--discard-rescued", "keep the lot as it is now instead")


def _run(given: argparse.Namespace) -> int:
    keep_edits = _choice(given, "edits")
    rescued = _choice(given, "rescued")
    place = find_lot(given)
    if not place.kept:
        raise LotError(f"{place.name} was never opened, so there is nothing to repair.")
    if given.apply or keep_edits is not None or rescued is not None:
        what = repair(place.home, place.name, keep_edits, rescued=rescued)
        # what it begins anew is no other lot
        LotList(data_folder()).went_on(place, NOWHERE)
        return _print(what, place.name, done=True)
    return _print(plan(place.home), place.name, done=False)


def _choice(given: argparse.Namespace, of: str) -> bool | None:
    """Whether `of` are to be kept, None where nothing is said. Raises UsageError."""
    keep, discard = getattr(given, f"keep_{of}"), getattr(given, f"discard_{of}")
    if keep and discard:
        raise UsageError(f"Say --keep-{of} or --discard-{of}, not both.")
    # With --apply alone neither is chosen: then there must be nothing to choose.
    return bool(keep) if keep or discard else None


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
    out("Nothing was changed." if what.choice else f"Nothing was changed. {APPLY}")
    return ATTENTION


def _heading(what: RepairPlan, done: bool) -> str:
    if done:
        return "Done:"
    return "Choose:" if what.choice else "This would be done:"


HELP = "repair a damaged lot"
EXAMPLES = (
    "tagger repair scans/box12",
    "tagger repair scans/box12 --apply",
    "tagger repair scans/box12 --discard-edits",
)
COMMAND = Command("repair", HELP, EXAMPLES, _arguments, _run)
