"""`tagger pick`: which cards to take out of which place, and that it was done."""

from __future__ import annotations

import argparse
import time
from collections.abc import Iterator, Sequence
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.commands.arguments import options
from tagger.commands.common import Command, attention_if, json_argument
from tagger.commands.renderers.stocked import card_document
from tagger.commands.sell.order_table import matched_orders, told_unmatched
from tagger.config import Settings, load_settings
from tagger.core.model.counted import counted
from tagger.core.model.money import price_text
from tagger.core.model.place import PlaceKey, place_key, places_spelled
from tagger.core.model.stock_number import read_stock_number
from tagger.core.model.tags import Marking, State
from tagger.core.model.trade import PULLED
from tagger.core.session.stock_status import StockChange, today_at
from tagger.core.stock.stocked import shared_places
from tagger.errors import Refused, UsageError
from tagger.exchange.shown.sheet_geometry import PAPERS
from tagger.services.console import complain, complain_first, out_lines, print_json, tell
from tagger.services.hub.ages import stations_document, tell_ages
from tagger.services.lot_changes import LotChange
from tagger.services.output.paths import check_new, new_file, shown_target
from tagger.services.output.tables import write_list
from tagger.services.stock import (
    Stock,
    by_lot,
    check_one_each,
    chosen_cards,
    enter_all,
    read_stock,
    with_prices_of_today,
)
from tagger.store.machine.paths import config_file

if TYPE_CHECKING:
    from tagger.core.stock.stocked import Stocked
    from tagger.exchange.shown.pick_sheet import PickEntry

TOLD = 5  # pictures that could not be made, told one by one
ENDINGS = (".csv", ".pdf")
COLUMNS = (
    "place", "from the front", "after", "before", "stock number", "set", "number", "subject",
    "parallel", "serial", "condition", "price", "order", "buyer", "lot", "position", "front",
    "pulled",
)  # fmt: skip


def _arguments(parser: argparse.ArgumentParser) -> None:
    said = "cards to pull, by words as in the overview or by stock numbers (default: all sold ones)"
    parser.add_argument("words", metavar="WORDS", nargs="*", help=said)
    options.path(parser, "--orders", "FILE", "only the cards of this table of orders")
    said = "which column is what: order=Sale,number='Card no.'; others are known by their names"
    options.text(parser, "--columns", "COLUMNS", said)
    options.target(parser, "FILE", "write FILE.csv or FILE.pdf; - for CSV on standard output")
    parser.add_argument(
        "--paper", choices=tuple(PAPERS), default="a4", help="the size of a page (default a4)"
    )
    options.flag(parser, "--done", "mark these cards as pulled")
    json_argument(parser)


def _run(given: argparse.Namespace) -> int:
    _check(given)
    settings, stock = load_settings(config_file()), read_stock(pulled=True)
    if given.to is not None:
        check_new(given.to, ENDINGS, "a pick list", stock.checklists, given.force)
    cards, problems = _wanted(given, stock, settings)
    shown = with_prices_of_today(stock, cards)
    for sentence in (*problems, *stock.skipped):
        complain(sentence)
    done = bool(given.done and cards)
    if done and given.orders is not None:
        _check_sold(cards)
    _show(given, shown, stock)
    if done:
        _mark_done(cards, stock, settings)
    if given.json:
        print_json(_document(shown, done, problems, stock.skipped))
    else:
        tell_ages()
    return attention_if(problems or stock.skipped)


def _show(given: argparse.Namespace, cards: Sequence[Stocked], stock: Stock) -> None:
    if given.to is not None:
        _write(given, cards, stock)
    elif not given.json:
        out_lines(_lines(cards, shared_places(stock.cards)))
    if not cards:
        tell("Nothing is to be pulled.")


def _check(given: argparse.Namespace) -> None:
    """Raises UsageError where options do not go together."""
    if given.orders is not None and given.words:
        raise UsageError("Name a table with --orders or words, not both.")
    if given.columns and given.orders is None:
        raise UsageError("--columns goes with --orders.")
    if given.json and given.to is not None:
        raise UsageError("--json prints the list; write it with --to or print it, not both.")


def _document(
    cards: Sequence[Stocked], done: bool, problems: Sequence[str], skipped: Sequence[str]
) -> dict[str, object]:
    return {
        "cards": list(map(card_document, cards)),
        "pulled": done,
        "problems": list(problems),
        "skipped": list(skipped),
        "stations": stations_document(),
    }


def _wanted(
    given: argparse.Namespace, stock: Stock, settings: Settings
) -> tuple[list[Stocked], list[str]]:
    """The cards that are meant and lie in their places, in order; what is wrong with a table of
    orders."""
    found, problems = _meant(given, stock, settings)
    there = (card for card in found if card.mark.in_place)
    return sorted(there, key=lambda card: card.order), problems


def _meant(
    given: argparse.Namespace, stock: Stock, settings: Settings
) -> tuple[list[Stocked], list[str]]:
    if given.orders is not None:
        return _ordered(given, stock, settings)
    if given.words:
        chosen = chosen_cards(stock, given.words, settings.scale)
        # a list may show both cards of a number; which of them was pulled it cannot say
        if given.done and all(map(read_stock_number, given.words)):
            check_one_each(chosen, stock)
        return chosen, []
    return [card for card in stock.cards if card.mark.to_pull], []


def _ordered(
    given: argparse.Namespace, stock: Stock, settings: Settings
) -> tuple[list[Stocked], list[str]]:
    """The cards of a table of orders, and why others of its lines mean none."""
    today = today_at(time.time())
    matches = matched_orders(given.orders, given.columns, today, stock, settings)
    problems = [told_unmatched(one) for one in matches if one.card is None]
    return [one.card for one in matches if one.card is not None], problems


def _check_sold(cards: Sequence[Stocked]) -> None:
    """Raises Refused where cards of a table of orders would be pulled without being sold."""
    unsold = sum(not card.mark.to_pull for card in cards)
    if unsold:
        raise Refused(
            f"{counted(unsold, 'card of the table is', 'cards of the table are')} not marked as "
            "sold, so nothing was marked as pulled; use tagger sold --orders first."
        )


def _by_place(
    cards: Sequence[Stocked], shared: set[PlaceKey]
) -> Iterator[tuple[str, list[Stocked]]]:
    """Under each place its cards; where several lots lie in one, under each lot."""

    def group(card: Stocked) -> tuple[PlaceKey, str]:
        place = place_key(card.mark.tags.place)
        return place, card.lot if place in shared else ""

    spelled = places_spelled(card.mark.tags.place for card in cards)
    for (_, lot), cards_there in groupby(cards, key=group):
        there = list(cards_there)
        said = spelled[there[0].mark.tags.place] or "no place"
        yield f"{said}: cards of {lot}" if lot else said, there


def _lines(cards: Sequence[Stocked], shared: set[PlaceKey]) -> Iterator[str]:
    for place, there in _by_place(cards, shared):
        yield place
        for card in there:
            what = f"{card.mark.tags.set} {card.mark.tags.brief()}"
            yield f"  [ ] {card.lies}: {card.number}  {what}  ({_whose(card)})"


def _whose(card: Stocked) -> str:
    """In which lot a card is, and what it is pulled for."""
    trade = card.mark.trade
    parts = [f"{card.lot}, card {card.position}"]
    if card.mark.state is State.SET_ASIDE:
        parts.append("set aside")
    if card.mark.to_pull:
        parts.append(f"order {trade.order}")
    if trade.buyer:
        parts.append(f"for {trade.buyer}")
    return ", ".join(parts)


def _write(given: argparse.Namespace, cards: Sequence[Stocked], stock: Stock) -> None:
    target: Path = given.to
    if target.suffix.lower() != ".pdf":
        write_list(target, COLUMNS, list(map(_row, cards)), stock.checklists, given.force)
        return
    # drawn only where somebody prints
    from tagger.exchange.shown.pick_sheet import pick_sheet

    title = f"To pull: {counted(len(cards), 'card')}"
    today = f"Pick list of {today_at(time.time())}"
    data = pick_sheet(title, _sheet(cards, stock), given.paper, today)
    with new_file(target, force=given.force) as write:
        write(data)
    tell(f"{counted(len(cards), 'card')} written to {shown_target(target)}.")


def _row(card: Stocked) -> tuple[str | int, ...]:
    tags, trade = card.mark.tags, card.mark.trade
    return (
        tags.place, card.from_front, card.before, card.after, card.number, tags.set, tags.number,
        tags.subject, tags.parallel, tags.serial, tags.condition,
        trade.price or price_text(tags), trade.order, trade.buyer, card.lot, card.position,
        card.front, "",
    )  # fmt: skip


def _sheet(cards: Sequence[Stocked], stock: Stock) -> list[tuple[str, list[PickEntry]]]:
    from tagger.exchange.shown.pick_sheet import PickEntry, picture_pixels
    from tagger.services.output.front_pictures import front_pictures

    fronts: dict[tuple[str, int], bytes] = {}
    missing: list[str] = []
    wanted = [
        (*stock.lots[name], {card.position for card in there})
        for name, there in by_lot(cards).items()
    ]
    for place, position, made in front_pictures(wanted, picture_pixels()):
        name = place.name
        if isinstance(made, str):
            missing.append(f"{name}, card {position}: {made}")
        else:
            fronts[name, position] = made
    complain_first(
        missing, TOLD, "more picture could not be made", "more pictures could not be made"
    )
    return [
        (
            said,
            [
                PickEntry(_what(c), (*_where(c), _whose(c)), fronts.get((c.lot, c.position), b""))
                for c in there
            ],
        )
        for said, there in _by_place(cards, shared_places(stock.cards))
    ]


def _what(card: Stocked) -> tuple[str, ...]:
    tags = card.mark.tags
    variant = ", ".join(filter(None, (tags.variant, tags.condition)))
    return f"{card.number}  {tags.title}", tags.set, variant


def _where(card: Stocked) -> Sequence[str]:
    """The count from the front, and its neighbours."""
    return card.lies.split(", ", 1)


def _mark_done(cards: Sequence[Stocked], stock: Stock, settings: Settings) -> None:
    what = StockChange(PULLED, today=today_at(time.time()))
    here = [card for card in cards if not card.elsewhere]
    changes = [
        LotChange(
            stock.lots[name][0],
            f"{counted(len(there), 'card')} pulled",
            [Marking(card.id, card.mark, what.after(card.mark)) for card in there],
        )
        for name, there in by_lot(here).items()
    ]
    enter_all(changes, settings)
    tell(f"{counted(len(here), 'card')} marked as pulled.")
    if left := len(cards) - len(here):
        are = counted(left, "card is", "cards are")
        tell(f"{are} at other stations, to be marked there: tagger pick --done.")


HELP = "list the cards to pull, by place and count from the front"
EXAMPLES = (
    "tagger pick",
    "tagger pick --to pick.pdf",
    "tagger pick --orders sales.csv --done",
    "tagger pick marsh gold --to pick.csv",
)
COMMAND = Command("pick", HELP, EXAMPLES, _arguments, _run)
