"""`tagger audit`: what the scanner got wrong in a lot. Nothing is written but the cache of what was
measured."""

from __future__ import annotations

import argparse

from tagger.commands.arguments import options
from tagger.commands.common import Command, attention_if, find_lot, json_argument, lot_arguments
from tagger.commands.renderers import findings
from tagger.errors import UsageError
from tagger.services.console import out_lines, print_json
from tagger.services.lot_audit import audit_lot


def _arguments(parser: argparse.ArgumentParser) -> None:
    lot_arguments(parser)
    options.number(parser, "--cards", "N", "how many cards you fed, if you counted them")
    json_argument(parser)


def _run(given: argparse.Namespace) -> int:
    # None where nobody counted: 0 is a count, too, of a feeder that took nothing.
    if given.cards is not None and given.cards < 0:
        raise UsageError("--cards takes a number of cards, 0 or more.")
    place = find_lot(given)
    lot, found = audit_lot(place, given.cards)
    if given.json:
        print_json(findings.as_json(lot, found))
    else:
        out_lines(findings.as_text(place.name, lot, found))
    return attention_if(found)


HELP = "list what the scanner got wrong in a lot"
EXAMPLES = (
    "tagger audit scans/box12",
    "tagger audit scans/box12 --cards 412",
    "tagger audit scans/box12 --json",
)
COMMAND = Command("audit", HELP, EXAMPLES, _arguments, _run)
