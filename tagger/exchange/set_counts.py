"""The second sheet of a workbook: how many cards of each set there are, and what they cost."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from decimal import Decimal
from typing import TYPE_CHECKING

from tagger.core.lot.cells import plain
from tagger.core.model.money import EXACT, price_of
from tagger.core.model.tags import STANDINGS, State
from tagger.core.model.text import fold

if TYPE_CHECKING:
    from tagger.core.lot.fields import CardInLot, Value

_ALWAYS = tuple(map(str, (State.TAGGED, State.SET_ASIDE, State.UNTAGGED)))
_ALL = "all"


class _OfSet:
    """What is counted of one set: its name in each spelling, how its cards stand, and the sums of
    their prices by currency."""

    def __init__(self) -> None:
        self.names, self.standings = Counter[str](), Counter[str]()
        self.sums: dict[str, Decimal] = {}

    def add(self, amount: Decimal, currency: str) -> None:
        """Count a price."""
        self.sums[currency] = EXACT.add(self.sums.get(currency, Decimal(0)), amount)


class SetCounts:
    """Counts by set in any spelling, in order of appearance; right when all cards were counted. A
    sum has prices of one currency only, and none of cards that were sold or pulled."""

    def __init__(self) -> None:
        self._sets: dict[str, _OfSet] = {}
        self._standings: set[str] = set()
        self._currencies: dict[str, None] = {}

    def count(self, card: CardInLot) -> None:
        """Count one card, in the state that the column `state` has it in."""
        mark = card.mark
        name, standing = plain(mark.tags.set), mark.standing
        counted = self._sets.setdefault(fold(name), _OfSet())
        counted.names[name] += 1
        counted.standings[standing] += 1
        self._standings.add(standing)
        # what was sold is no longer to be paid for
        if not mark.gone and (price := price_of(mark.tags)) is not None:
            self._currencies[price.currency] = None
            counted.add(price.amount, price.currency)

    @property
    def _states(self) -> tuple[str, ...]:
        """The states that have a column: of those in the trade only the ones that cards have."""
        others = (one for one in STANDINGS if one not in _ALWAYS and one in self._standings)
        return (*_ALWAYS, *others)

    @property
    def columns(self) -> tuple[str, ...]:
        """A column for each state, and one of sums for each currency."""
        sums = (f"sum of prices {currency}".strip() for currency in self._currencies)
        return ("set", "cards", *self._states, *sums)

    @property
    def prices(self) -> frozenset[int]:
        """Which of the columns are sums of prices."""
        return frozenset(range(2 + len(self._states), len(self.columns)))

    def rows(self) -> Iterator[tuple[Value, ...]]:
        """A row a set, and one of all cards."""
        total = _OfSet()
        for one in self._sets.values():
            total.standings.update(one.standings)
            for currency, amount in one.sums.items():
                total.add(amount, currency)
            name = one.names.most_common(1)[0][0]
            yield self._row(name or "(without a set)", one)
        yield self._row(_ALL, total)

    def _row(self, name: str, one: _OfSet) -> tuple[Value, ...]:
        amounts: tuple[Value, ...] = tuple(
            f"{one.sums[currency]:f}" if currency in one.sums else ""
            for currency in self._currencies
        )
        standings = one.standings
        return (name, standings.total(), *(standings[state] for state in self._states), *amounts)
