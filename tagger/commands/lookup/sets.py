"""`tagger sets`: how complete the sets of the checklists are, what is missing, and what is there
more than once."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path

from tagger.commands.arguments import options
from tagger.commands.common import Command, attention_if, folders_argument, json_argument
from tagger.commands.renderers import sets
from tagger.core.reports.completion import Want
from tagger.errors import UsageError
from tagger.services.console import complain, out_lines, print_json
from tagger.services.holdings import HeldSets, held_sets
from tagger.services.hub.ages import stations_document, tell_ages
from tagger.services.lot_selection import ChosenLots
from tagger.services.output.tables import write_list
from tagger.store.standard_streams import STDIO


def _arguments(parser: argparse.ArgumentParser) -> None:
    folders_argument(parser)
    said = "show only the sets with these words, card by card"
    options.text(parser, "--set", "WORDS", said, default="")
    options.flag(parser, "--wants", "list missing cards")
    options.flag(parser, "--parallels", "with --wants: list missing parallels too")
    options.target(parser, "FILE.csv", "write the list to a file; - for standard output")
    json_argument(parser)


def _run(given: argparse.Namespace) -> int:
    _check_options(given)
    held = held_sets(ChosenLots(given.folders, pulled=True), given.set)
    wants = list(held.wants(given.parallels)) if given.wants else None
    if given.to is not None:
        _write(given.to, held, wants, given.force)
    if given.json:
        # Problems and skipped lots stand in the document.
        print_json({**sets.as_json(held, wants), "stations": stations_document()})
    else:
        _tell(given.to, held, wants)
        _tell_ages(given.folders)
    return attention_if(held.problems or held.skipped)


def _check_options(given: argparse.Namespace) -> None:
    """Raises UsageError where two options do not go together."""
    if given.parallels and not given.wants:
        raise UsageError("--parallels goes with --wants.")
    if given.json and given.to == STDIO:
        raise UsageError("--json and --to - both write to standard output; choose one.")


def _tell(target: Path | None, held: HeldSets, wants: Sequence[Want] | None) -> None:
    """The sets as text, and what could not be read of lots and checklists."""
    if target != STDIO:
        # What stands in the file need not run over the screen as well.
        _print(held, wants, listed=target is None)
    for sentence in (*held.problems, *held.skipped):
        complain(sentence)


def _tell_ages(folders: Sequence[Path]) -> None:
    # who names folders asks for lots of this machine
    if not folders:
        tell_ages()


def _write(target: Path, held: HeldSets, wants: Sequence[Want] | None, force: bool) -> None:
    if wants is None:
        write_list(target, sets.COLUMNS, sets.as_rows(held), held.checklists, force)
    else:
        write_list(target, Want._fields, wants, held.checklists, force)


def _print(held: HeldSets, wants: Sequence[Want] | None, listed: bool) -> None:
    if wants is None:
        out_lines(sets.as_text(held))
    else:
        out_lines(sets.wants_as_text(held, wants, listed))


HELP = "show set completion, missing cards and duplicates"
EXAMPLES = (
    "tagger sets",
    'tagger sets scans/box12 --set "1987 harbor"',
    "tagger sets --wants --to wants.csv",
)
COMMAND = Command("sets", HELP, EXAMPLES, _arguments, _run)
