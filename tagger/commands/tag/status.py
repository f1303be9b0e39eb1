"""`tagger status`: how far a lot is."""

from __future__ import annotations

import argparse

from tagger.commands.common import Command, find_lot, json_argument, lot_arguments
from tagger.commands.renderers import lot_status
from tagger.errors import DONE
from tagger.services.console import out_lines, print_json, tell
from tagger.services.opening import look, missing_scans
from tagger.services.reading.lot_reading import cards_read


def _arguments(parser: argparse.ArgumentParser) -> None:
    lot_arguments(parser)
    json_argument(parser)


def _run(given: argparse.Namespace) -> int:
    place = find_lot(given)
    # As it would open now, so that scans that came since the last sitting count.
    lot, folder = look(place)
    place = place.called(lot.name)
    if gone := missing_scans(lot, folder.scans):
        tell(gone)
    scans = len(folder.scans)
    read = cards_read(place, lot)
    if given.json:
        print_json(lot_status.as_json(place.name, lot, scans, read))
    else:
        out_lines(lot_status.as_text(place.name, lot, scans, read))
    return DONE


HELP = "show how far a lot is"
EXAMPLES = ("tagger status scans/box12", "tagger status scans/box12 --json")
COMMAND = Command("status", HELP, EXAMPLES, _arguments, _run)
