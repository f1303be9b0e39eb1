"""What cards come to by the user's own prices and checklists: an estimate, never more.

A card's estimate is the price that the dealer gave it. Where there is none it is the price of its
row times the factor of its condition: that price stands in a further column called `price`; for a
parallel the column `price gold` goes before it. Currencies are never added up."""

from __future__ import annotations

import heapq
from bisect import bisect_right
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.model.money import EXACT, Price, currency_said, list_price, parse_price
from tagger.core.model.text import fold

if TYPE_CHECKING:
    from tagger.core.model.condition import Scale
    from tagger.core.model.tags import Extra, Tags
    from tagger.core.model.valuation_settings import ValuationSettings

DEAREST = 10


class Estimate(NamedTuple):
    """A card with its price and what it comes to; `own`: the price is the dealer's."""

    lot: str
    position: int
    tags: Tags
    price: Price
    value: Decimal
    own: bool = False


@dataclass
class CurrencySum:
    """All cards with a price in one currency. `lots` has (total, cards) by lot, `stacks` (cards,
    total) by price range: below the first bound, between two bounds, from the last one on; a card
    on a bound lies above it."""

    lots: dict[str, tuple[Decimal, int]]
    stacks: list[tuple[int, Decimal]]
    total: Decimal = Decimal(0)
    cards: int = 0
    _dearest: list[tuple[Decimal, int, Estimate]] = field(default_factory=list)

    @property
    def dearest(self) -> list[Estimate]:
        """The dearest ten, the dearest first; those that came first go before others of the same
        estimate."""
        return [item[-1] for item in sorted(self._dearest, reverse=True)]

    def add(self, card: Estimate, bounds: tuple[Decimal, ...]) -> None:
        """Count one more card."""
        value = card.value
        # EXACT refuses to round: a sum over thousands of cards is right to the cent
        self.total, self.cards = EXACT.add(self.total, value), self.cards + 1
        total, cards = self.lots.get(card.lot, (Decimal(0), 0))
        self.lots[card.lot] = EXACT.add(total, value), cards + 1
        at = bisect_right(bounds, value)
        cards, total = self.stacks[at]
        self.stacks[at] = cards + 1, EXACT.add(total, value)
        # the count breaks ties, so that two estimates are never compared by their tags
        heapq.heappush(self._dearest, (value, -self.cards, card))
        if len(self._dearest) > DEAREST:
            heapq.heappop(self._dearest)


class Valuation:
    """Estimates summed up, and all that they leave out."""

    def __init__(self, terms: ValuationSettings, scale: Scale) -> None:
        self.terms = terms
        self._factors = {fold(name): factor for name, factor in terms.factors.items()}
        self._known = {fold(step.name) for step in scale.steps}
        self.sums: dict[str, CurrencySum] = {}
        """By currency, in the order in which they were met."""
        self.unreadable: dict[tuple[str, str], int] = {}
        """Cards by (price as written, why it is not read)."""
        self.unknown: Counter[str] = Counter()
        """Cards by their condition, where that is none of the scale and has no factor."""
        self.without_price = self.without_condition = self.at_base_price = 0

    def add(self, lot: str, position: int, tags: Tags, columns: Iterable[Extra]) -> None:
        """Count one card of a lot. `columns` are further columns of its row, those to be asked
        first in front."""
        asked = (list_price(extra, tags.parallel) for extra in columns)
        text, of_parallel = next((found for found in asked if found[0]), ("", True))
        if tags.price:
            self._add_own(lot, position, tags, text)
            return
        if not text:
            self.without_price += 1
            return
        price = self._read(text)
        if price is None:
            return
        # Counted to be told: a parallel at its base card's price is the most common way in which a
        # sum comes out too low.
        self.at_base_price += not of_parallel
        value = EXACT.multiply(price.amount, self._factor(tags.condition))
        self._count(Estimate(lot, position, tags, price, value))

    def _add_own(self, lot: str, position: int, tags: Tags, listed: str) -> None:
        price = self._read(tags.price)
        if price is None:
            return
        price = price.usually_in(currency_said(listed))
        # it was given for this very copy, whatever its condition
        self._count(Estimate(lot, position, tags, price, price.amount, own=True))

    def _read(self, text: str) -> Price | None:
        try:
            return parse_price(text)
        # a price that could be two amounts is told, and not guessed
        except ValueError as reason:
            key = text, str(reason)
            self.unreadable[key] = self.unreadable.get(key, 0) + 1
            return None

    def _count(self, card: Estimate) -> None:
        # by currency: two of them are never added up
        empty = CurrencySum({}, [(0, Decimal(0))] * (len(self.terms.bounds) + 1))
        self.sums.setdefault(card.price.currency, empty).add(card, self.terms.bounds)

    def _factor(self, condition: str) -> Decimal:
        key = fold(condition)
        # without a condition, or with one of another scale, the list price stands as it is
        if not key:
            self.without_condition += 1
        elif key not in self._factors and key not in self._known:
            self.unknown[condition] += 1
        return self._factors.get(key, Decimal(1))
