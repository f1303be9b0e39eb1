"""`tagger lots`: the lots opened on this machine."""

from __future__ import annotations

import argparse

from tagger.commands.common import Command, json_argument
from tagger.commands.renderers import lots
from tagger.errors import DONE
from tagger.services.console import out_lines, print_json, tell
from tagger.services.lot_selection import NO_LOTS
from tagger.store.machine.lots import LotList
from tagger.store.machine.lots_now import lots_now
from tagger.store.machine.paths import data_folder


def _run(given: argparse.Namespace) -> int:
    known = lots_now(LotList(data_folder()))
    if given.json:
        print_json(lots.as_json(known))
        return DONE
    out_lines(lots.as_text(known))
    # On stderr: to a script no lot is an empty answer.
    if not known:
        tell(NO_LOTS)
    return DONE


HELP = "list the lots opened on this machine"
EXAMPLES = ("tagger lots", "tagger lots --json")
COMMAND = Command("lots", HELP, EXAMPLES, json_argument, _run)
