"""`tagger sold`: marks cards that left their place, so that the count from the front stays right
for the others."""

from __future__ import annotations

import argparse

from tagger.commands.arguments import options
from tagger.commands.common import Command, find_lot, lot_arguments
from tagger.config import load_settings
from tagger.core.session.stock_status import PULLED, SOLD, leave, positions
from tagger.errors import DONE, UsageError
from tagger.services.console import out
from tagger.services.opening import change
from tagger.store.machine.paths import config_file


def _arguments(parser: argparse.ArgumentParser) -> None:
    lot_arguments(parser)
    parser.add_argument(
        "positions", metavar="POSITION", nargs="+", help="the cards' positions: 12, or 40-42"
    )
    options.flag(parser, "--pulled", "mark them as pulled: removed for another reason")
    options.flag(parser, "--returned", "mark them as returned: in their place again")


def _run(given: argparse.Namespace) -> int:
    if given.pulled and given.returned:
        raise UsageError("Say --pulled or --returned, not both.")
    with change(find_lot(given), load_settings(config_file())) as session:
        where = positions(given.positions, session.view.cards)
        out(leave(session, where, _where_to(given)))
    return DONE


def _where_to(given: argparse.Namespace) -> str:
    if given.returned:
        return ""
    return PULLED if given.pulled else SOLD


HELP = "mark cards as sold, pulled or returned"
EXAMPLES = (
    "tagger sold scans/box12 127",
    "tagger sold scans/box12 40-42 57 --pulled",
    "tagger sold scans/box12 127 --returned",
)
COMMAND = Command("sold", HELP, EXAMPLES, _arguments, _run)
