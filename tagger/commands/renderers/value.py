"""What lots are worth, of `tagger value`: as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import TYPE_CHECKING

from tagger.core.model.counted import counted
from tagger.core.model.money import money
from tagger.core.model.scan_ref import LotRef
from tagger.core.model.text import printable

if TYPE_CHECKING:
    from tagger.core.reports.value import CurrencySum, Estimate, Valuation
    from tagger.services.valuation import ValuedLots

CAUTION = (
    "An estimate from your own prices and lists: check the card itself before you ask a price."
)
_TAGS = ("set", "number", "subject", "parallel", "serial", "condition")
Range = tuple[Decimal | None, Decimal | None]
"""A range of prices: from one on, to below the other; None where it has no end."""


def as_json(valued: ValuedLots) -> dict[str, object]:
    """The document of --json."""
    valuation = valued.valuation
    return {
        "caution": CAUTION,
        "lots": valued.lots,
        "estimates": [
            _sum_document(currency, held, valuation.terms.bounds)
            for currency, held in valuation.sums.items()
        ],
        "unpriced": valuation.without_price,
        "without_condition": valuation.without_condition,
        "priced_as_base": valuation.at_base_price,
        **uncertain_document(valuation),
        "skipped": list(valued.skipped),
    }


def uncertain_document(valuation: Valuation) -> dict[str, object]:
    """What `uncertain` names, for a document of --json."""
    return {
        "unreadable": [
            {"price": text, "reason": reason, "cards": cards}
            for (text, reason), cards in valuation.unreadable.items()
        ],
        "unknown_conditions": dict(valuation.unknown),
    }


def _sum_document(
    currency: str, held: CurrencySum, bounds: tuple[Decimal, ...]
) -> dict[str, object]:
    # Amounts are texts: a reader that makes floats of numbers would lose cents.
    return {
        "currency": currency,
        "total": format(held.total, "f"),
        "cards": held.cards,
        "lots": [
            {**_lot_document(lot), "total": format(total, "f"), "cards": cards}
            for lot, (total, cards) in held.lots.items()
        ],
        # The names here are kept though the code's are others: scripts read them.
        "most_valuable": [_card_document(card) for card in held.dearest],
        "price_ranges": [
            {
                "min": bound_text(low),
                "max": bound_text(high),
                "cards": cards,
                "total": format(total, "f"),
            }
            for (low, high), (cards, total) in zip(ranges(bounds), held.stacks, strict=True)
        ],
    }


def _card_document(card: Estimate) -> dict[str, object]:
    return {
        **_lot_document(card.lot),
        "position": card.position,
        **{name: getattr(card.tags, name) for name in _TAGS},
        "price": format(card.price.amount, "f"),
        "own_price": card.own,
        "estimate": format(card.value, "f"),
    }


def _lot_document(lot: str) -> dict[str, str]:
    known = LotRef.read(lot)
    # A folder's name may have bytes that are no UTF-8.
    folder = known.folder.encode("utf-8", "backslashreplace").decode()
    return {"lot": known.name, "folder": folder}


def bound_text(bound: Decimal | None) -> str | None:
    """The end of a range as JSON has it."""
    return None if bound is None else format(bound, "f")


def as_text(valued: ValuedLots) -> Iterator[str]:
    """The sums, and what they take for granted."""
    valuation = valued.valuation
    for currency, held in valuation.sums.items():
        yield from _sum_text(currency, held, valuation.terms.bounds)
    yield from _taken_for_granted(valuation)


def _sum_text(currency: str, held: CurrencySum, bounds: tuple[Decimal, ...]) -> Iterator[str]:
    named = "" if currency else ", currency not named in the list"
    yield f"Estimate: {money(held.total, currency)} for {_cards(held.cards)}{named}"
    for lot, (total, cards) in held.lots.items():
        yield f"  {_name(lot)}: {money(total, currency)} for {_cards(cards)}"
    yield "  most valuable:"
    for card in held.dearest:
        yield f"    {_card_text(card, currency)}"
    yield "  price ranges:"
    for span, (cards, total) in zip(ranges(bounds), held.stacks, strict=True):
        yield f"    {span_text(span, currency)}: {_cards(cards)}, {money(total, currency)}"


def _card_text(card: Estimate, currency: str) -> str:
    at_list = ", your own price" if card.own else ", list price"
    # Where the estimate is the list's own price, saying it twice would be noise.
    if card.value != card.price.amount:
        at_list = f", list price {money(card.price.amount, currency)}"
    what = f"{card.tags.set}  {card.tags.brief()}"
    where = f"{_name(card.lot)}, card {card.position}"
    return f"{money(card.value, currency)}  {what}  ({where}{at_list})"


def span_text(span: Range, currency: str) -> str:
    """A range of prices in words."""
    low, high = span
    if low is None and high is not None:
        return f"below {money(high, currency)}"
    # Without any bound there is one stack, from nothing on.
    end = f" to below {money(high, currency)}" if high else ""
    return f"from {money(low or Decimal(0), currency)}{end}"


def ranges(bounds: tuple[Decimal, ...]) -> list[Range]:
    """The ranges between some bounds."""
    return list(zip((None, *bounds), (*bounds, None), strict=True))


def _taken_for_granted(valuation: Valuation) -> Iterator[str]:
    # The lists have no rate between them.
    if len(valuation.sums) > 1:
        yield "The lists have prices in several currencies, which are not added up."
    if not valuation.sums:
        yield "No prices found. Type price=3.50 at a card, or add a `price` column to the list."
    elif valuation.without_price:
        yield f"{_cards(valuation.without_price)} not counted: no price."
    if valuation.at_base_price:
        yield (
            f"{_cards(valuation.at_base_price)} of a parallel counted at the base card's price: "
            "the list has no price for the parallel."
        )
    if valuation.without_condition:
        yield (
            f"{_cards(valuation.without_condition)} without a condition: counted at the list price."
        )


def left_out(valued: ValuedLots) -> Iterator[str]:
    """What needs the user's attention."""
    yield from uncertain(valued.valuation)
    yield from valued.skipped


def uncertain(valuation: Valuation) -> Iterator[str]:
    """The prices that could not be counted, and the conditions that no factor is known for."""
    for (text, reason), cards in valuation.unreadable.items():
        yield (
            f"The price '{printable(text, 40)}' cannot be read ({reason}): {_cards(cards)} not "
            "counted."
        )
    for condition, cards in valuation.unknown.items():
        yield (
            f"Unknown condition '{printable(condition, 40)}': {_cards(cards)} counted at the list "
            "price."
        )


def _cards(count: int) -> str:
    return counted(count, "card")


def _name(lot: str) -> str:
    return LotRef.read(lot).name
