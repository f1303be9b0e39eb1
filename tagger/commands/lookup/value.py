"""`tagger value`: what lots are worth by the user's own prices and checklists."""

from __future__ import annotations

import argparse

from tagger.commands.common import Command, attention_if, folders_argument, json_argument
from tagger.commands.renderers import value
from tagger.config import load_settings
from tagger.services.console import complain, out, out_lines, print_json
from tagger.services.hub.ages import stations_document, tell_ages
from tagger.services.lot_selection import ChosenLots
from tagger.services.valuation import value_lots
from tagger.store.machine.paths import config_file


def _arguments(parser: argparse.ArgumentParser) -> None:
    folders_argument(parser)
    json_argument(parser)


def _run(given: argparse.Namespace) -> int:
    settings = load_settings(config_file())
    valued = value_lots(ChosenLots(given.folders, pulled=True), settings)
    # A list, because it is told and decides on the exit status, too.
    left_out = list(value.left_out(valued))
    if given.json:
        print_json({**value.as_json(valued), "stations": stations_document()})
    else:
        out_lines(value.as_text(valued))
        for sentence in left_out:
            complain(sentence)
        out(value.CAUTION)
        if not given.folders:
            tell_ages()
    return attention_if(left_out)


HELP = "estimate what lots are worth, by your own prices and checklists"
EXAMPLES = (
    "tagger value",
    "tagger value scans/box12 scans/box13",
    "tagger value scans/box12 --json",
)
COMMAND = Command("value", HELP, EXAMPLES, _arguments, _run)
