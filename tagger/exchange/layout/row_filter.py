"""Which cards an export has."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import TYPE_CHECKING

from tagger.core.lot.offers import is_new
from tagger.core.model.money import amount
from tagger.core.model.place import lies_in
from tagger.core.model.suggestions import nearest
from tagger.core.model.tags import BASE, State
from tagger.core.model.text import fold, printable

if TYPE_CHECKING:
    from tagger.core.lot.fields import CardInLot, Value
    from tagger.core.model.condition import Scale

# A state is held against those that there are when the layout is read.
_WHOLE = ("set", "parallel", "condition", "stock number")
CHOICES = ("state", *_WHOLE, "place", "note")
_LACKED = ("set", "parallel", "condition", "place", "note")
# The plain card has no parallel, and a filter must have some word for that.
_NONE = {"parallel": BASE}
Readers = Mapping[str, "Callable[[CardInLot], Value]"]


@dataclass(frozen=True)
class RowFilter:
    """The cards that are meant: by field the values of which one must hold (folded as `fold` does;
    the plain card's parallel is `base`), the lowest and highest price, the first and last position.
    A place holds for its rows as well, a note for each that it is part of. Empty, a value holds for
    cards of which something is known that have none; see `Mark.lacks`. A card without a price
    is not between two prices. `new`: those in stock that are not listed as they are in the `shop`
    (in any, where it is empty), or with False those that are. `unlisted`: those in no checklist, or
    with False those in one."""

    values: Mapping[str, frozenset[str]]
    lowest: Decimal | None = None
    highest: Decimal | None = None
    new: bool | None = None
    unlisted: bool | None = None
    first: int | None = None
    last: int | None = None
    shop: str = ""

    def in_scale(self, scale: Scale) -> RowFilter:
        """The same, with each condition that a scale knows by its name."""
        wanted = self.values.get("condition")
        if wanted is None:
            return self
        read = {text: scale.read(text) for text in wanted}
        # one of another scale, or one that is only begun, stays as it was typed
        named = (fold(one.name) if one and one.whole else text for text, one in read.items())
        return replace(self, values={**self.values, "condition": frozenset(named)})

    def test(self, readers: Readers) -> Callable[[CardInLot], bool]:
        """What says of a card whether it is meant; `readers` has what reads the fields of CHOICES
        and `price`."""
        tests = [*self._flags(), *self._positions()]
        tests += [_value_test(name, readers[name], wanted) for name, wanted in self.values.items()]
        # A price is read out of text card by card, so only a filter of prices pays for that.
        if self.lowest is not None or self.highest is not None:
            priced = readers["price"]
            tests.append(lambda card: self._between(amount(str(priced(card)))))
        return lambda card: all(test(card) for test in tests)

    def _flags(self) -> Iterator[Callable[[CardInLot], bool]]:
        if self.new is not None:
            yield self._offered
        if self.unlisted is not None:
            yield self._in_no_list

    def _positions(self) -> Iterator[Callable[[CardInLot], bool]]:
        first, last = self.first, self.last
        if first is not None:
            yield lambda card: card.position >= first
        if last is not None:
            yield lambda card: card.position <= last

    def _offered(self, card: CardInLot) -> bool:
        # what is not in stock is offered to nobody
        there = card.mark.in_stock
        return there and is_new(card.mark, self.shop) == self.new

    def _in_no_list(self, card: CardInLot) -> bool:
        # of a card without any tags nobody knows
        known = card.mark.state is not State.UNTAGGED
        return known and card.mark.tags.listed is not self.unlisted

    def _between(self, price: Decimal | None) -> bool:
        if price is None:
            return False
        low, high = self.lowest, self.highest
        return (low is None or low <= price) and (high is None or price <= high)


NOT_FILTERED = RowFilter({})


def _value_test(
    name: str, read: Callable[[CardInLot], Value], wanted: frozenset[str]
) -> Callable[[CardInLot], bool]:
    if name == "state":
        return lambda card: any(card.mark.stands_as(one) for one in wanted)
    none = _NONE.get(name, "")
    some = _holds(name, read, wanted - {none})
    if none not in wanted or name not in _LACKED:
        return some
    return lambda card: card.mark.lacks(name) or some(card)


def _holds(
    name: str, read: Callable[[CardInLot], Value], wanted: frozenset[str]
) -> Callable[[CardInLot], bool]:
    """Whether a card has one of some values."""
    if name == "place":
        return lambda card: any(lies_in(str(read(card)), one) for one in wanted)
    if name == "note":
        return lambda card: any(one in fold(str(read(card))) for one in wanted)
    return lambda card: held(name, str(read(card))) in wanted


def held(name: str, value: str) -> str:
    """A value as it is held against those that are wanted."""
    return fold(value) or _NONE.get(name, "")


def misspelled(
    only: RowFilter, cards: Iterable[CardInLot], readers: Readers
) -> Iterator[tuple[str, str, str]]:
    """(field, value that no card has, nearly the same value that cards have), for what is likely a
    slip."""
    # part of a note is like no whole one, and a box like none of its rows
    names = [name for name in only.values if name in _WHOLE]
    had = _values_had(names, cards, readers)
    for name in names:
        there = list(filter(None, had[name]))
        for value in sorted(only.values[name] - {held(name, value) for value in had[name]}):
            # A value that is like none may be right: no card has it yet.
            if near := nearest(value, there):
                yield name, value, printable(near)


def _values_had(
    names: Sequence[str], cards: Iterable[CardInLot], readers: Readers
) -> Mapping[str, Mapping[str, None]]:
    """By field all values that any card has, each once, in the order of the cards."""
    had: dict[str, dict[str, None]] = {name: {} for name in names}
    # asked for only where there is such a filter: it goes over all cards
    for card in cards if names else ():
        for name, values in had.items():
            values[str(readers[name](card))] = None
    return had
