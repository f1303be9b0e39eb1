"""`tagger value`: what lots come to by the prices in the user's own checklists."""

from __future__ import annotations

import argparse
import os
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

from tagger.commands.common import DONE, EYE, Command, json_argument
from tagger.commands.lot_selection import ChosenLots, folders_argument
from tagger.config import load_settings
from tagger.core.index.index import Indexed
from tagger.core.model.money import money
from tagger.core.model.tags import Extra, State, Tags
from tagger.core.model.text import printable
from tagger.core.reports.value import CurrencySum, Estimate, Valuation
from tagger.errors import LotError
from tagger.services.console import out, print_json, tell
from tagger.store.checklists import read_indexed
from tagger.store.machine.paths import LotPlace, config_file, index_folder

CAUTION = (
    "An estimate from the prices in your own lists: check the card itself before you ask a price."
)
_TAGS = ("set", "number", "subject", "parallel", "serial", "condition")


def _arguments(parser: argparse.ArgumentParser) -> None:
    folders_argument(parser)
    json_argument(parser)


def _run(given: argparse.Namespace) -> int:
    settings = load_settings(config_file())
    lots, lists = ChosenLots(given.folders), _Lists()
    sum_of = Valuation(settings.value, settings.scale)
    count = 0
    for place, lot in lots.read():
        count, name = count + 1, os.fspath(place.folder)
        for position, pair in enumerate(lot.arrangement.pairs, start=1):
            mark = lot.mark(pair.id)
            if mark.state is State.TAGGED and not mark.gone:
                sum_of.add(name, position, mark.tags, lists.columns(lot.checklists, mark.tags))
    if not count:
        raise LotError(
            " ".join(lots.skipped) or "No lot was opened on this machine yet: tagger open FOLDER."
        )
    left_out = [*_left_out(sum_of), *lists.unread, *lots.skipped]
    if given.json:
        print_json(_document(sum_of, count, [*lists.unread, *lots.skipped]))
    else:
        for currency, held in sum_of.sums.items():
            _print(currency, held, sum_of.terms.bounds)
        for sentence in _notes(sum_of):
            out(sentence)
        for sentence in left_out:
            tell(sentence)
        out(CAUTION)
    return EYE if left_out else DONE


class _Lists:
    """The checklists of each lot, read once; `unread` has a sentence for each that cannot be
    read."""

    def __init__(self) -> None:
        self._read: dict[tuple[str, ...], Indexed] = {}
        self.unread: list[str] = []

    def columns(self, checklists: tuple[str, ...], tags: Tags) -> Iterator[Extra]:
        """The further columns of a card's row: as the checklist has them now, then as they were
        when it was tagged."""
        if tags.listed and checklists:
            index = self._of(checklists).index
            step = index.find(tags.set, tags.number, tags.subject)
            if step is not None:
                yield index.row(step).extra
        yield tags.extra

    def _of(self, checklists: tuple[str, ...]) -> Indexed:
        found = self._read.get(checklists)
        if found is None:
            found = self._read[checklists] = read_indexed(
                [Path(path) for path in checklists], index_folder()
            )
            unread = [
                printable(f"{each.file}: {each.problem}")
                for each in found.problems
                if each.line == 0
            ]
            self.unread.extend(sentence for sentence in unread if sentence not in self.unread)
        return found


def _print(currency: str, held: CurrencySum, bounds: tuple[Decimal, ...]) -> None:
    named = "" if currency else ", in a currency that the list does not name"
    out(f"Estimate: {money(held.total, currency)} for {_cards(held.cards)}{named}")
    for lot, (total, cards) in held.lots.items():
        out(f"  {_name(lot)}: {money(total, currency)} for {_cards(cards)}")
    out("  the dearest:")
    for card in held.dearest:
        at_list = (
            ""
            if card.value == card.price.amount
            else f", list price {money(card.price.amount, currency)}"
        )
        what = f"{card.tags.set}  {card.tags.brief()}"
        out(
            f"    {money(card.value, currency)}  {what}  ({_name(card.lot)}, card "
            f"{card.position}{at_list})"
        )
    out("  stacks:")
    for (low, high), (cards, total) in zip(_ranges(bounds), held.stacks, strict=True):
        span = (
            f"below {money(high, currency)}"
            if low is None and high is not None
            else f"from {money(low or Decimal(0), currency)}"
            + (f" to below {money(high, currency)}" if high else "")
        )
        out(f"    {span}: {_cards(cards)}, {money(total, currency)}")


def _ranges(bounds: tuple[Decimal, ...]) -> list[tuple[Decimal | None, Decimal | None]]:
    return list(zip((None, *bounds), (*bounds, None), strict=True))


def _notes(sum_of: Valuation) -> Iterator[str]:
    """What the estimate takes for granted."""
    if len(sum_of.sums) > 1:
        yield "The lists have prices in several currencies; they are not added up."
    if not sum_of.sums:
        yield "No card has a price: a checklist's further column called price is what is asked."
    elif sum_of.without_price:
        yield f"{_cards(sum_of.without_price)} without a price in the list: not counted."
    if sum_of.at_base_price:
        yield (
            f"{_cards(sum_of.at_base_price)} of a parallel at the base card's price: the list "
            "has no other."
        )
    if sum_of.without_condition:
        yield f"{_cards(sum_of.without_condition)} without a condition: at the list's price."


def _left_out(sum_of: Valuation) -> Iterator[str]:
    """What needs the user's eye."""
    for (text, reason), cards in sum_of.unreadable.items():
        yield (
            f"The price '{printable(text, 40)}' cannot be read ({reason}): {_cards(cards)} not "
            "counted."
        )
    for condition, cards in sum_of.unknown.items():
        yield (
            f"'{printable(condition, 40)}' is no condition of the scale: {_cards(cards)} at the "
            "list's price."
        )


def _cards(count: int) -> str:
    return f"{count} {'card' if count == 1 else 'cards'}"


def _document(sum_of: Valuation, lots: int, skipped: list[str]) -> dict[str, object]:
    return {
        "caution": CAUTION,
        "lots": lots,
        "estimates": [
            {
                "currency": currency,
                "total": format(held.total, "f"),
                "cards": held.cards,
                "lots": [
                    {**_lot(lot), "total": format(total, "f"), "cards": cards}
                    for lot, (total, cards) in held.lots.items()
                ],
                "dearest": [_card(card) for card in held.dearest],
                "stacks": [
                    {
                        "from": _text(low),
                        "below": _text(high),
                        "cards": cards,
                        "total": format(total, "f"),
                    }
                    for (low, high), (cards, total) in zip(
                        _ranges(sum_of.terms.bounds), held.stacks, strict=True
                    )
                ],
            }
            for currency, held in sum_of.sums.items()
        ],
        "without_price": sum_of.without_price,
        "without_condition": sum_of.without_condition,
        "at_base_price": sum_of.at_base_price,
        "unreadable": [
            {"price": text, "reason": reason, "cards": cards}
            for (text, reason), cards in sum_of.unreadable.items()
        ],
        "unknown_conditions": dict(sum_of.unknown),
        "skipped": skipped,
    }


def _card(card: Estimate) -> dict[str, object]:
    return {
        **_lot(card.lot),
        "position": card.position,
        **{name: getattr(card.tags, name) for name in _TAGS},
        "price": format(card.price.amount, "f"),
        "estimate": format(card.value, "f"),
    }


def _name(folder: str) -> str:
    return LotPlace(Path(folder), Path(folder)).name


def _lot(folder: str) -> dict[str, str]:
    return {"lot": _name(folder), "folder": folder.encode("utf-8", "backslashreplace").decode()}


def _text(bound: Decimal | None) -> str | None:
    return None if bound is None else format(bound, "f")


COMMAND = Command(
    "value",
    "estimate what lots come to, by the prices in your own checklists",
    ("tagger value", "tagger value scans/box12 scans/box13", "tagger value scans/box12 --json"),
    _arguments,
    _run,
)
