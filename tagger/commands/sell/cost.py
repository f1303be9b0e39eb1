"""`tagger cost`: what a lot was bought for, from whom and when."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from tagger.commands.arguments import options
from tagger.commands.arguments.sale import day_typed, noted
from tagger.commands.common import Command, find_lot, lot_arguments
from tagger.config import load_settings
from tagger.core.lot.change import LotBought
from tagger.core.model.money import not_a_price
from tagger.core.model.text import printable
from tagger.errors import DONE, LotError, UsageError
from tagger.services.console import out
from tagger.services.opening import change, read
from tagger.store.machine.paths import config_file

if TYPE_CHECKING:
    from tagger.core.model.trade import Purchase
    from tagger.store.machine.paths import LotPlace


def _arguments(parser: argparse.ArgumentParser) -> None:
    lot_arguments(parser)
    said = "what you paid for the lot: 120.00 EUR (default: show what is noted)"
    parser.add_argument("sum", metavar="SUM", nargs="?", help=said)
    options.text(parser, "--from", "SOURCE", "from whom, or where, you bought it", dest="source")
    options.text(parser, "--on", "DATE", "the day, as 2026-11-28")


def _run(given: argparse.Namespace) -> int:
    place = find_lot(given)
    if not place.kept:
        raise LotError(f"{place.name} was never opened; open it first.")
    if given.sum is None and given.source is None and given.on is None:
        out(_said(place.name, read(place).bought))
        return DONE
    bought = _note(given, place)
    out(_said(place.name, bought))
    return DONE


def _note(given: argparse.Namespace, place: LotPlace) -> Purchase:
    """Keep what was typed; the rest stays as it was noted. Raises UsageError, LotError."""
    if problem := not_a_price(given.sum or ""):
        raise UsageError(f"{problem}.")
    on = day_typed(given.on) if given.on else given.on
    typed = {"source": given.source, "on": on, "cost": given.sum}
    said = {name: noted(text) for name, text in typed.items() if text is not None}
    with change(place, load_settings(config_file())) as session:
        if session.looking:
            raise LotError(f"Nothing was noted: {session.looking}.")
        bought = session.view.bought._replace(**said)
        session.note(LotBought(bought))
    return bought


def _said(name: str, bought: Purchase) -> str:
    """What is noted, as a sentence."""
    parts = [
        f"cost {bought.cost}" if bought.cost else "no cost noted",
        f"from {bought.source}" if bought.source else "",
        f"on {bought.on}" if bought.on else "",
    ]
    return printable(f"{name}: {', '.join(filter(None, parts))}.", 600)


HELP = "note what a lot cost, from whom and when"
EXAMPLES = (
    'tagger cost scans/box12 120.00 --from "spring fair" --on 2026-03-14',
    "tagger cost scans/box12",
)
COMMAND = Command("cost", HELP, EXAMPLES, _arguments, _run)
