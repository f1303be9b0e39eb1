"""`tagger labels`: labels of cards, boxes and rows, and dividers, to print."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import TYPE_CHECKING

from tagger.commands.arguments import options
from tagger.commands.common import Command, attention_if
from tagger.config import load_settings
from tagger.core.model.counted import counted
from tagger.core.model.money import money, price_of, price_text
from tagger.core.model.place import place_key, place_parts, places_spelled, spelled_place
from tagger.core.model.text import one_spelling
from tagger.errors import ATTENTION, UsageError
from tagger.exchange.shown.label_grids import GRIDS, read_grid
from tagger.exchange.shown.label_sheet import Label, label_sheet
from tagger.exchange.shown.sheet_geometry import PAPERS
from tagger.services.console import complain, tell
from tagger.services.lists.lot_checklists import ListPrices
from tagger.services.output.paths import check_new, new_file, shown_target
from tagger.services.stock import Stock, chosen_cards, read_stock
from tagger.store.machine.paths import config_file

if TYPE_CHECKING:
    from collections.abc import Iterable

    from tagger.core.model.tags import Tags
    from tagger.core.stock.stocked import Stocked

USUAL = {
    "cards": {"a4": "3x8", "letter": "3x10"},
    "boxes": {"a4": "2x4", "letter": "2x5"},
    "dividers": {"a4": "3x3", "letter": "3x3"},
}


def _arguments(parser: argparse.ArgumentParser) -> None:
    said = "the cards, by words as in the overview or a stock number (default: all in stock)"
    parser.add_argument("words", metavar="WORDS", nargs="*", help=said)
    kind = parser.add_mutually_exclusive_group()
    options.flag(kind, "--boxes", "one label for each box and row with such cards")
    options.flag(kind, "--dividers", "one card-size divider for each set in each box or row")
    options.target(parser, "FILE", "write FILE.pdf; - for standard output", required=True)
    papers = tuple(PAPERS)
    parser.add_argument(
        "--paper", choices=papers, default="a4", help="the size of a page (default a4)"
    )
    grids = "; ".join(f"{paper}: {', '.join(g.name for g in GRIDS[paper])}" for paper in papers)
    said = f"labels across and down a page ({grids}), or your own in mm: 3x8:70x37+2.5"
    options.text(parser, "--grid", "GRID", said)
    said = "leave the first N labels of the first page blank"
    options.number(parser, "--skip", "N", said, default=0)
    options.flag(parser, "--price", "print the price on the labels of cards")


def _run(given: argparse.Namespace) -> int:
    kind = _kind(given)
    if given.price and kind != "cards":
        raise UsageError("--price goes with the labels of cards.")
    grid = read_grid(given.grid or USUAL[kind][given.paper], given.paper)
    if not 0 <= given.skip < grid.a_page:
        raise UsageError(f"--skip takes a whole number from 0 to {grid.a_page - 1} for this grid.")
    stock = read_stock()
    cards = _cards(stock, given.words)
    check_new(given.to, (".pdf",), "a sheet of labels", stock.checklists, given.force)
    if given.price:
        cards = _priced(stock, cards)
    labels = list(_LABELS[kind](cards, given.price))
    unnumbered = kind == "cards" and len(cards) - len(labels)
    _complain(unnumbered, stock.skipped)
    if not labels:
        tell("There is nothing to label.")
        return ATTENTION
    title = f"Labels: {counted(len(labels), 'label')}"
    data = label_sheet(title, labels, grid, given.paper, given.skip, kind == "dividers")
    with new_file(given.to, force=given.force) as write:
        write(data)
    pages = counted(-(-(given.skip + len(labels)) // grid.a_page), "page")
    tell(f"{counted(len(labels), 'label')} on {pages} written to {shown_target(given.to)}.")
    return attention_if(unnumbered or stock.skipped)


def _cards(stock: Stock, words: Sequence[str]) -> list[Stocked]:
    """The cards in stock that words mean, by place and there from the front."""
    found = stock.cards
    if words:
        found = chosen_cards(stock, words, load_settings(config_file()).scale)
    return sorted((card for card in found if card.mark.in_stock), key=lambda card: card.order)


def _priced(stock: Stock, cards: Sequence[Stocked]) -> list[Stocked]:
    """The cards with today's prices of their lists."""
    prices = ListPrices()
    checklists = {name: lot.checklists for name, (_, lot) in stock.lots.items()}
    found = [card._replace(mark=prices.mark(checklists[card.lot], card.mark)) for card in cards]
    stock.skipped += prices.unread
    return found


def _kind(given: argparse.Namespace) -> str:
    return next((kind for kind in ("boxes", "dividers") if getattr(given, kind)), "cards")


def _complain(unnumbered: int, skipped: Iterable[str]) -> None:
    if unnumbered:
        have = counted(unnumbered, "card has", "cards have")
        complain(f"{have} no stock number yet; open the lot with tagger open once.")
    for sentence in skipped:
        complain(sentence)


def _of_cards(cards: Sequence[Stocked], with_price: bool) -> Iterator[Label]:
    for card in cards:
        tags = card.mark.tags
        if card.number:
            variant = ", ".join(filter(None, (tags.variant, tags.condition)))
            price = _price(tags) if with_price else ""
            yield Label(tags.title, (variant, tags.set), card.number, price)


def _price(tags: Tags) -> str:
    price = price_of(tags)
    # the font has no sign of the euro; as a sum it has its code
    return price_text(tags) if price is None else money(*price)


def _of_boxes(cards: Sequence[Stocked], _: bool) -> Iterator[Label]:
    """A label for each box, and one for each of its rows."""
    spelled = places_spelled(card.mark.tags.place for card in cards)
    placed = [card for card in cards if any(place_key(card.mark.tags.place))]
    for _box, in_box in groupby(placed, key=lambda card: place_key(card.mark.tags.place)[0]):
        there = list(in_box)
        parts = [place_parts(card.mark.tags.place)[0] for card in there]
        box = places_spelled(parts)[parts[0]]
        yield Label(box, _holds(there), typed=_typed(box))
        for place, in_row in groupby(there, key=lambda card: place_key(card.mark.tags.place)):
            if len(place) > 1:
                cards_there = list(in_row)
                name = spelled_place(place_parts(spelled[cards_there[0].mark.tags.place]))
                yield Label(name, _holds(cards_there), typed=_typed(name))


def _typed(place: str) -> str:
    """What a hand scanner types for a place, so that find looks there; empty where the code has no
    signs for it."""
    return f"at={place}" if place.isascii() and place.isprintable() else ""


def _of_sets(cards: Sequence[Stocked], _: bool) -> Iterator[Label]:
    spelled = places_spelled(card.mark.tags.place for card in cards)
    named = one_spelling(card.mark.tags.set for card in cards)
    for _place, in_place in groupby(cards, key=lambda card: place_key(card.mark.tags.place)):
        there = list(in_place)
        place = spelled[there[0].mark.tags.place]
        by_set: dict[str, list[Stocked]] = {}
        for card in there:
            by_set.setdefault(named[card.mark.tags.set], []).append(card)
        for name, of_set in by_set.items():
            yield Label(name or "no set", (place, *_holds(of_set)[:1]))


def _holds(cards: Sequence[Stocked]) -> tuple[str, ...]:
    """How many cards are there, then their sets."""
    named = one_spelling(card.mark.tags.set for card in cards)
    return counted(len(cards), "card"), *dict.fromkeys(filter(None, named.values()))


_LABELS = {"cards": _of_cards, "boxes": _of_boxes, "dividers": _of_sets}
HELP = "print labels for cards, boxes and rows, and dividers"
EXAMPLES = (
    "tagger labels lot=spring --to labels.pdf",
    "tagger labels marsh gold --to labels.pdf --price --grid 5x13",
    "tagger labels --boxes --to boxes.pdf --paper letter",
    "tagger labels --dividers --to dividers.pdf",
)
COMMAND = Command("labels", HELP, EXAMPLES, _arguments, _run)
