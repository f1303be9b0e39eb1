"""What was sold: income, fees, shipping, a share of what the lot cost, and what is left of it. The
dealer's own record. Sums are exact, and currencies are never added up."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.model.money import EXACT, Price, currency_of, price_amount, read_price
from tagger.core.model.text import fold
from tagger.core.model.trade import SOLD

if TYPE_CHECKING:
    from tagger.core.lot.view import LotView
    from tagger.core.stock.stocked import Stocked

BY_COUNT, BY_ESTIMATE = "count", "estimate"
SHARES = (BY_COUNT, BY_ESTIMATE)
"""How a lot's cost is shared among its cards: evenly, or by their prices."""
NOTHING = Decimal(0)
_CENTS = -2  # the exponent of the smallest sum that a share is counted in


class Amounts(NamedTuple):
    """Sums in one currency. `shipping` is what the dealer paid for it."""

    cards: int = 0
    income: Decimal = NOTHING
    fees: Decimal = NOTHING
    shipping: Decimal = NOTHING
    cost: Decimal = NOTHING

    @property
    def margin(self) -> Decimal:
        """What is left of the income."""
        spent = EXACT.add(EXACT.add(self.fees, self.shipping), self.cost)
        return EXACT.subtract(self.income, spent)

    def plus(self, other: Amounts) -> Amounts:
        """Both together."""
        sums = map(EXACT.add, self[1:], other[1:])
        return Amounts(self.cards + other.cards, *sums)


ByCurrency = Mapping[str, Amounts]
"""Sums by currency, as it was written; empty where none was."""


class Sale(NamedTuple):
    """One card that was sold, with its sums: each in its own currency. `unread` names the fields
    whose sum cannot be read or is missing."""

    card: Stocked
    amounts: ByCurrency
    unread: tuple[str, ...] = ()

    @property
    def day(self) -> str:
        """When it was sold, empty where that is not known."""
        return self.card.mark.trade.sold_on


def sales_of(lot: LotView, cards: Sequence[Stocked], shares: str = BY_COUNT) -> list[Sale]:
    """The sales of one lot, `cards` being all that are on record; `shares` is one of SHARES."""
    cost = read_price(lot.bought.cost)
    of_card = cost_shares(cost.amount, cards, shares) if cost else {}
    return [
        _sale(card, Price(of_card[card.id], cost.currency) if cost else None)
        for card in cards
        if card.mark.gone == SOLD
    ]


def cost_shares(cost: Decimal, cards: Sequence[Stocked], shares: str) -> dict[int, Decimal]:
    """What each card of a lot cost, by its identity: whole cents that add up to the cost."""
    # By running numbers and not by position: a card that is moved, or a sort of the folder, must
    # not move cents from one sale to another that was told already.
    ordered = sorted(cards, key=lambda card: (card.mark.running, card.position))
    weights = [_weight(card, shares) for card in ordered]
    # without any price there is nothing to share by but the count
    if not any(weights):
        weights = [Decimal(1)] * len(ordered)
    exponent = min(_CENTS, int(cost.as_tuple().exponent))
    units, whole = int(cost.scaleb(-exponent)), _units(weights)
    total, before, found = sum(whole), 0, {}
    for card, weight in zip(ordered, whole, strict=True):
        # differences of rounded sums: no cent is lost, and none is counted twice
        share = units * (before + weight) // total - units * before // total
        before += weight
        found[card.id] = Decimal(share).scaleb(exponent)
    return found


def _weight(card: Stocked, shares: str) -> Decimal:
    if shares == BY_COUNT:
        return Decimal(1)
    return price_amount(card.mark.tags) or NOTHING


def _units(weights: Sequence[Decimal]) -> list[int]:
    """The weights as whole numbers of one unit."""
    exponent = min(int(weight.as_tuple().exponent) for weight in weights)
    return [int(weight.scaleb(-exponent)) for weight in weights]


def _sale(card: Stocked, cost: Price | None) -> Sale:
    trade, tags = card.mark.trade, card.mark.tags
    income = _in(read_price(trade.price), currency_of(tags))
    # A fee is taken out of the income by whoever paid it, so it is in that currency unless it says
    # another.
    usual = income.currency if income else ""
    sums = {
        "income": income,
        "fees": _in(read_price(trade.fee), usual),
        "shipping": _in(read_price(trade.shipping), usual),
        "cost": _in(cost, usual),
    }
    typed = {"price": trade.price, "fee": trade.fee, "shipping": trade.shipping}
    unread = [name for name, text in typed.items() if text and read_price(text) is None]
    if not trade.price:
        unread.append("price")
    found: dict[str, Amounts] = {}
    for name, price in sums.items():
        if price is not None:
            more = Amounts(**{name: price.amount})  # type: ignore[arg-type]
            found[price.currency] = found.get(price.currency, Amounts()).plus(more)
    # a card counts once: with its price, or where its other sums are
    where = usual if income else next(iter(found), "")
    found[where] = found.get(where, Amounts()).plus(Amounts(1))
    return Sale(card, found, tuple(unread))


def _in(price: Price | None, usual: str) -> Price | None:
    return None if price is None else price.usually_in(usual)


def by_channel(sales: Iterable[Sale]) -> Callable[[Sale], str]:
    """The channel of each of some sales, named as the first of them spells it."""
    names: dict[str, str] = {}
    for sale in sales:
        names.setdefault(fold(sale.card.mark.trade.channel), sale.card.mark.trade.channel)
    return lambda sale: names[fold(sale.card.mark.trade.channel)]


def summed(sales: Iterable[Sale], key: Callable[[Sale], str]) -> dict[str, dict[str, Amounts]]:
    """The sums of sales by some key and by currency, in the order in which they are met."""
    found: dict[str, dict[str, Amounts]] = {}
    for sale in sales:
        sums = found.setdefault(key(sale), {})
        for currency, amounts in sale.amounts.items():
            sums[currency] = sums.get(currency, Amounts()).plus(amounts)
    return found
