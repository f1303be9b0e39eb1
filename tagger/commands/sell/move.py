"""`tagger move`: boxes renamed or merged over all lots, and single cards put into another box."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from dataclasses import replace
from functools import partial

from tagger.commands.common import Command, attention_if
from tagger.config import load_settings
from tagger.core.model.counted import counted
from tagger.core.model.place import place_parts, spelled_place
from tagger.core.model.stock_number import is_mistyped, read_stock_number
from tagger.core.model.suggestions import nearest
from tagger.core.model.tags import Marking
from tagger.core.model.text import fold, printable
from tagger.core.stock.boxes import moved_cards, moved_carried, moved_dividers
from tagger.errors import Refused, UsageError
from tagger.services.console import complain, out
from tagger.services.lot_changes import LotChange
from tagger.services.stock import Stock, cards_numbered, enter_all, read_stock
from tagger.store.machine.paths import config_file

_LONGEST = 200  # characters of a place


def _arguments(parser: argparse.ArgumentParser) -> None:
    said = "the box as it is called now, or the stock numbers of the cards to move"
    parser.add_argument("what", metavar="BOX", nargs="+", help=said)
    parser.add_argument("to", metavar="NEW", help="where they are from now on")


def _run(given: argparse.Namespace) -> int:
    new = spelled_place(place_parts(given.to))
    if not new or len(new) > _LONGEST:
        raise UsageError("Name the place where the cards are from now on, in one short line.")
    if all(map(read_stock_number, given.what)):
        changes, skipped = _numbered(given.what, new), []
    elif len(given.what) > 1:
        raise UsageError(
            'Name one box and its new name: tagger move "box 7" "shelf 2, box 1"; quote both.'
        )
    else:
        stock = read_stock()
        old = " ".join(given.what[0].split())
        changes, skipped = _renamed(stock, old, new), stock.skipped
    enter_all(changes, load_settings(config_file()))
    for one in changes:
        out(f"{one.place.name}: {counted(len(one.marks), 'card')} moved to {new}.")
    if any(one.arranged is not None for one in changes):
        was = printable(" ".join(given.what[0].split()), 60)
        complain(f"The dividers of these lots follow; what is printed on them is still {was}: "
                 "print new ones before you feed them again (tagger dividers).")  # fmt: skip
    for sentence in skipped:
        complain(sentence)
    return attention_if(skipped)


def _renamed(stock: Stock, old: str, new: str) -> list[LotChange]:
    """The changes of all lots with cards there. Raises Refused where none has any."""
    changes: list[LotChange] = []
    for place, lot in stock.lots.values():
        marks = moved_cards(lot, old, new)
        carried = moved_carried(lot.cursor, old, new)
        dividers = partial(moved_dividers, old=old, new=new)
        told = dividers(lot.arrangement) is not None
        if marks or carried or told:
            label = f"{printable(old)} is {new} now"
            changes.append(LotChange(place, label, marks, carried, dividers if told else None))
    if not changes:
        said = f"No card is in '{printable(old, 60)}' that could be moved."
        raise Refused(f"{said} {_meant(stock, old)}".rstrip())
    return changes


def _meant(stock: Stock, place: str) -> str:
    """What may have been meant by a place without cards; empty where nobody knows."""
    if is_mistyped(place, bare=True):
        return "If it is a stock number, its check character does not fit: read it again."
    places = {card.mark.tags.place for card in stock.cards}
    near = nearest(place, sorted(places))
    return f"Did you mean '{printable(near)}'?" if near and fold(near) != fold(place) else ""


def _numbered(words: Sequence[str], new: str) -> list[LotChange]:
    changes: list[LotChange] = []
    for place, (lot, where) in cards_numbered(words).items():
        cards = [lot.card_at(position) for position in where]
        marks = [
            Marking(card.id, card.mark, replace(card.mark, tags=replace(card.mark.tags, place=new)))
            for card in cards
            if card.mark.tags.place != new
        ]
        if marks:
            changes.append(LotChange(place, f"{counted(len(marks), 'card')} moved to {new}", marks))
    if not changes:
        raise Refused(f"These cards are in {new} already.")
    return changes


HELP = "rename or merge boxes over all lots, or move single cards"
EXAMPLES = (
    'tagger move "box 7" "shelf 2, box 1"',
    'tagger move "box 7, row 2" "box 8"',
    'tagger move K7TQX-0042-E "box 8"',
)
COMMAND = Command("move", HELP, EXAMPLES, _arguments, _run)
