"""The second sheet of a workbook: how many cards of each set there are, and what they cost."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from decimal import Decimal
from typing import TYPE_CHECKING

from tagger.core.lot.cells import plain
from tagger.core.model.money import EXACT, price_of
from tagger.core.model.tags import State

if TYPE_CHECKING:
    from tagger.core.lot.fields import CardInLot, Value
    from tagger.core.model.money import Price

_STATES = (State.TAGGED, State.SET_ASIDE, State.UNTAGGED)
_ALL = "all"


class SetCounts:
    """Counts by set, in order of appearance; right when all cards were counted. A sum has prices of
    one currency only."""

    def __init__(self) -> None:
        self._states: dict[str, Counter[State]] = {}
        self._sums: dict[str, dict[str, Decimal]] = {}
        self._currencies: dict[str, None] = {}

    def count(self, card: CardInLot) -> None:
        """Count one card."""
        mark = card.mark
        name = plain(mark.tags.set)
        self._states.setdefault(name, Counter())[mark.state] += 1
        if (price := price_of(mark.tags)) is not None:
            self._add(name, price)

    def _add(self, name: str, price: Price) -> None:
        self._currencies[price.currency] = None
        sums = self._sums.setdefault(name, {})
        so_far = sums.get(price.currency, Decimal(0))
        sums[price.currency] = EXACT.add(so_far, price.amount)

    @property
    def columns(self) -> tuple[str, ...]:
        """A column of sums for each currency."""
        sums = (f"sum of prices {currency}".strip() for currency in self._currencies)
        return ("set", "cards", *_STATES, *sums)

    @property
    def prices(self) -> frozenset[int]:
        """Which of the columns are sums of prices."""
        return frozenset(range(2 + len(_STATES), len(self.columns)))

    def rows(self) -> Iterator[tuple[Value, ...]]:
        """A row a set, and one of all cards."""
        total, sums = Counter[State](), dict[str, Decimal]()
        for name, states in self._states.items():
            own = self._sums.get(name, {})
            total.update(states)
            for currency, amount in own.items():
                sums[currency] = EXACT.add(sums.get(currency, Decimal(0)), amount)
            yield self._row(name or "(without a set)", states, own)
        yield self._row(_ALL, total, sums)

    def _row(
        self, name: str, states: Counter[State], sums: dict[str, Decimal]
    ) -> tuple[Value, ...]:
        amounts: tuple[Value, ...] = tuple(
            f"{sums[currency]:f}" if currency in sums else "" for currency in self._currencies
        )
        return (name, states.total(), *(states[state] for state in _STATES), *amounts)
