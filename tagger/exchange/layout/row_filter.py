"""Which cards an export has."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING

from tagger.core.lot.offers import is_new
from tagger.core.model.money import amount
from tagger.core.model.suggestions import nearest
from tagger.core.model.tags import BASE
from tagger.core.model.text import fold, printable

if TYPE_CHECKING:
    from tagger.core.lot.fields import CardInLot, Value

CHOICES = ("state", "set", "parallel", "condition")


@dataclass(frozen=True)
class RowFilter:
    """The cards that are meant: by field the values of which one must hold (folded as `fold` does;
    the plain card's parallel is `base`), and the lowest and highest price. A card without a price
    is not between two prices. `new`: those in stock that are not listed as they are, or with False
    those that are."""

    values: Mapping[str, frozenset[str]]
    lowest: Decimal | None = None
    highest: Decimal | None = None
    new: bool | None = None

    def test(
        self, readers: Mapping[str, Callable[[CardInLot], Value]]
    ) -> Callable[[CardInLot], bool]:
        """What says of a card whether it is meant; `readers` has what reads the fields of CHOICES
        and `price`."""
        wanted = [(name, readers[name], values) for name, values in self.values.items()]
        # A price is read out of text card by card, so only a filter of prices pays for that.
        priced = self.lowest is not None or self.highest is not None

        def meant(card: CardInLot) -> bool:
            if self.new is not None and not self._listed(card):
                return False
            if not all(held(name, str(read(card))) in values for name, read, values in wanted):
                return False
            return not priced or self._between(amount(str(readers["price"](card))))

        return meant

    def _listed(self, card: CardInLot) -> bool:
        # what is not in stock is offered to nobody
        there = card.mark.in_stock
        return there and is_new(card.mark) == self.new

    def _between(self, price: Decimal | None) -> bool:
        if price is None:
            return False
        low, high = self.lowest, self.highest
        return (low is None or low <= price) and (high is None or price <= high)


def held(name: str, value: str) -> str:
    """A value as it is held against those that are wanted."""
    # The plain card has no parallel, and a filter must have some word for that.
    return BASE if name == "parallel" and not value else fold(value)


def _values_had(
    names: Iterable[str],
    cards: Iterable[CardInLot],
    readers: Mapping[str, Callable[[CardInLot], Value]],
) -> dict[str, dict[str, None]]:
    """By field all values that any card has, each once, in the order of the cards."""
    had: dict[str, dict[str, None]] = {name: {} for name in names}
    for card in cards:
        for name, values in had.items():
            values[str(readers[name](card))] = None
    return had


def misspelled(
    only: RowFilter, cards: Iterable[CardInLot], readers: Mapping[str, Callable[[CardInLot], Value]]
) -> Iterator[tuple[str, str, str]]:
    """(field, value that no card has, nearly the same value that cards have), for what is likely a
    slip."""
    had = _values_had(only.values, cards, readers)
    for name, wanted in only.values.items():
        there = list(filter(None, had[name]))
        for value in sorted(wanted - {held(name, value) for value in had[name]}):
            # A value that is like none may be right: no card has it yet.
            if near := nearest(value, there):
                yield name, value, printable(near)
