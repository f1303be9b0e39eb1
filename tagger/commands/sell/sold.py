"""`tagger sold`: notes what became of cards, by position, by stock number or by a table of orders,
so that the count from the front stays right for the others."""

from __future__ import annotations

import argparse
import os
import time
from pathlib import Path

from tagger.commands.arguments import options
from tagger.commands.arguments.sale import day_typed, noted
from tagger.commands.common import Command, find_lot
from tagger.config import load_settings
from tagger.core.model.money import not_a_price
from tagger.core.model.stock_number import is_mistyped, read_stock_number
from tagger.core.model.trade import LISTED, PULLED, RESERVED, SOLD
from tagger.core.session.stock_status import StockChange, positions, today_at
from tagger.errors import DONE, UsageError
from tagger.services.console import out, tell
from tagger.services.hub.sales import asked_of, sales_told, withdraw_wishes
from tagger.services.lot_changes import LotChange
from tagger.services.opening import change
from tagger.services.stock import cards_numbered, enter_all
from tagger.store.machine.paths import config_file, is_pulled

SUMS = ("price", "fee", "shipping")
TEXTS = ("channel", "order", "buyer")
# by option: what the card becomes, and the field that has the option's text
_KINDS = {
    "pulled": (PULLED, "reason"),
    "returned": ("", ""),
    "listed": (LISTED, "listed"),
    "reserved": (RESERVED, "reserved"),
}
OTHERS = tuple(_KINDS)
OF_ORDERS = ("columns", "rest", "undo", "yes")


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "cards",
        metavar="CARD",
        nargs="*",
        help="stock numbers; or the folder of scans and positions in it: 12, or 40-42",
    )
    said = "store lot.json in DIR (for a scan folder that you cannot write to)"
    options.path(parser, "--state", "DIR", said)
    sale = parser.add_argument_group("of the sale")
    options.text(sale, "--price", "SUM", "what was paid for each card: 3.50")
    options.text(sale, "--fee", "SUM", "the fees of each card")
    options.text(sale, "--shipping", "SUM", "what the shipping of each card cost you")
    options.text(sale, "--channel", "WHERE", "where it was sold")
    options.text(sale, "--order", "ORDER", "the order; tagger pick lists the card until it is done")
    options.text(sale, "--buyer", "WHO", "the buyer's reference")
    options.text(sale, "--on", "DATE", "the day, as 2026-11-28 (default today)")
    other = parser.add_argument_group("instead of sold")
    options.text(
        other, "--pulled", "REASON", "mark them as pulled: removed for another reason",
        nargs="?", const="",
    )  # fmt: skip
    options.flag(other, "--returned", "mark them as returned: in their place again")
    options.text(other, "--listed", "WHERE", "note where they are listed")
    options.text(other, "--reserved", "FOR", "note for whom they are reserved")
    table = parser.add_argument_group("a table of orders")
    options.path(table, "--orders", "FILE", "mark the cards that a marketplace's table has as sold")
    said = "which column is what: order=Sale,number='Card no.'; others are known by their names"
    options.text(table, "--columns", "COLUMNS", said)
    options.flag(table, "--rest", "mark the cards that were found, though others were not")
    options.flag(table, "--undo", "have the cards that this table sold unsold again, in all lots")
    options.flag(table, "--yes", "mark them without asking")


def _run(given: argparse.Namespace) -> int:
    if given.orders is not None:
        return _orders(given)
    if used := [name for name in OF_ORDERS if getattr(given, name)]:
        raise UsageError(f"--{used[0]} goes with --orders.")
    if not given.cards:
        raise UsageError("Name the cards: stock numbers, or a folder and positions in it.")
    what = _what(given)
    if _is_numbers(given.cards[0]):
        return _by_number(given, what)
    given.folder = Path(given.cards[0])
    settings, place = load_settings(config_file()), find_lot(given)
    with change(place, settings) as session:
        where = positions(given.cards[1:], session.view.cards)
        if not where:
            raise UsageError("Name the positions of the cards: 12, or 40-42 for several.")
        marks = what.markings(session.view, where)
        with sales_told([(place, marks)], settings):
            session.enter(what.label(where), marks)
        out(what.told(where, marks))
    return DONE


def _is_numbers(word: str) -> bool:
    """Whether the cards are named by stock numbers; a folder that is there is one."""
    is_number = read_stock_number(word) is not None or is_mistyped(word, bare=True)
    return is_number and not os.path.isdir(word)


def _by_number(given: argparse.Namespace, what: StockChange) -> int:
    if given.state is not None:
        raise UsageError("--state goes with a folder; a stock number finds its lot by itself.")
    changes, told = [], []
    settings = load_settings(config_file())
    for place, (lot, where) in cards_numbered(given.cards).items():
        if not what.kind and is_pulled(place):
            cards = [lot.card_at(position).id for position in where]
            told.append(withdraw_wishes(place, cards, settings))
            continue
        marks = what.markings(lot, where)
        changes.append(LotChange(place, what.label(where), marks))
        said = what.told(where, marks)
        told.append(f"{place.name}: {said}" if not is_pulled(place) else f"Asked: {said}")
    enter_all(changes, settings)
    for sentence in told:
        out(sentence)
    if asked := asked_of(one.place for one in changes):
        tell(asked)
    return DONE


def _orders(given: argparse.Namespace) -> int:
    used = any(_is_given(given, name) for name in (*SUMS, *TEXTS, *OTHERS, "cards", "state"))
    if used:
        raise UsageError("--orders marks the cards of a table; name nothing else beside it.")
    # the table's reader is loaded for a table only
    from tagger.commands.sell.order_table import take_orders, undo_orders

    day = _day(given.on)
    if given.undo:
        if given.rest:
            raise UsageError("Say --undo or --rest, not both.")
        return undo_orders(given.orders, given.columns, day, given.yes)
    return take_orders(given.orders, given.columns, day, given.rest, given.yes)


def _is_given(given: argparse.Namespace, name: str) -> bool:
    # an option without a text is given, too
    return getattr(given, name) not in (None, False, [])


def _what(given: argparse.Namespace) -> StockChange:
    """What is to become of the cards. Raises UsageError."""
    said = [name for name in OTHERS if _is_given(given, name)]
    if len(said) > 1:
        raise UsageError("Say one of --pulled, --returned, --listed and --reserved only.")
    day, sale = _day(given.on), _sale(given)
    if not said:
        return StockChange(SOLD, sale, day)
    if sale:
        raise UsageError(f"--{next(iter(sale))} is of a sale; it does not go with another mark.")
    [name] = said
    kind, field = _KINDS[name]
    return StockChange(kind, {field: noted(getattr(given, name))} if field else {}, day)


def _sale(given: argparse.Namespace) -> dict[str, str]:
    """What is noted of a sale. Raises UsageError."""
    for name in SUMS:
        if problem := not_a_price(getattr(given, name) or ""):
            raise UsageError(f"--{name}: {problem}.")
    typed = {name: getattr(given, name) for name in (*SUMS, *TEXTS)}
    return {name: noted(text) for name, text in typed.items() if text}


def _day(text: str | None) -> str:
    """A day as it is kept. Raises UsageError."""
    if not text:
        return today_at(time.time())
    return day_typed(text)


HELP = "mark cards as sold, pulled, returned, listed or reserved"
EXAMPLES = (
    "tagger sold scans/box12 127",
    "tagger sold K7TQX-0042-E --price 3.50 --order A-17",
    "tagger sold scans/box12 40-42 57 --pulled",
    "tagger sold scans/box12 127 --returned",
    "tagger sold --orders sales.csv",
    "tagger sold --orders sales.csv --undo",
)
COMMAND = Command("sold", HELP, EXAMPLES, _arguments, _run)
