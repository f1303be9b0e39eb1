"""`tagger read`: the cards of a lot are read, without the desk. Nothing is tagged."""

from __future__ import annotations

import argparse

from tagger.commands.arguments import options
from tagger.commands.common import Command, attention_if, find_lot, json_argument, lot_arguments
from tagger.commands.renderers import readings
from tagger.config import load_settings
from tagger.services.console import out_lines, print_json
from tagger.services.reading.lot_reading import read_lot
from tagger.store.machine.paths import config_file


def _arguments(parser: argparse.ArgumentParser) -> None:
    lot_arguments(parser)
    options.checklists(parser, "a checklist, where the lot has none yet (repeatable)", default=[])
    json_argument(parser)


def _run(given: argparse.Namespace) -> int:
    settings = load_settings(config_file())
    read = read_lot(find_lot(given), given.checklist, settings.model)
    if given.json:
        print_json(readings.as_json(read))
    else:
        out_lines(readings.as_text(read))
    return attention_if(read.lost)


HELP = "read the print on a lot's cards ahead of tagging (tagger help reading)"
EXAMPLES = (
    "tagger read scans/box12",
    "tagger read scans/box12 --checklist lists/",
    "tagger read scans/box12 --json",
)
COMMAND = Command("read", HELP, EXAMPLES, _arguments, _run)
