"""Stock-taking: what was counted held against what should be there."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.model.place import place_key
from tagger.core.model.stock_number import read_stock_number
from tagger.core.stock.stocked import shared_numbers
from tagger.errors import Refused

if TYPE_CHECKING:
    from tagger.core.stock.stocked import Stocked


class CountedCard(NamedTuple):
    """One line of a count: which one it is, the number as it was read, and the place where the card
    was, empty where nobody said."""

    where: str
    number: str
    place: str = ""


class StockCount(NamedTuple):
    """What came of a count. `found`: how many cards lie where they should; `missing`: those that
    nobody counted; `elsewhere`: a card and the place where it was found, empty where that was only
    not among the expected; `gone`: counted, though sold or pulled; `unknown`: lines whose number is
    of no card; `twice`: lines that name a card again."""

    found: int
    missing: list[Stocked]
    elsewhere: list[tuple[Stocked, str]]
    gone: list[Stocked]
    unknown: list[CountedCard]
    twice: list[CountedCard]

    @property
    def right(self) -> bool:
        """Whether all is as it should be."""
        # All but `found`: nothing that was found where it should be is wrong, however many they
        # are.
        return not any(self[1:])


def compare(
    expected: Iterable[Stocked], every: Iterable[Stocked], counted: Iterable[CountedCard]
) -> StockCount:
    """Hold a count against the cards that are `expected`; `every` are all that there ever were.
    Raises Refused where it has a number that cards of several lots have."""
    comparing = _Comparing(expected, every)
    for line in counted:
        comparing.add(line)
    return comparing.count()


class _Comparing:
    """A count, line by line."""

    def __init__(self, expected: Iterable[Stocked], every: Iterable[Stocked]) -> None:
        # A card without a number was never labelled, so no count can name it: it is neither missing
        # nor found.
        every = list(every)
        self._shared = shared_numbers(every)
        self._known = {card.number: card for card in every if card.number}
        self._wanted = {card.number: card for card in expected if card.number}
        self._found: set[str] = set()
        self._seen: set[str] = set()
        self._so_far = StockCount(0, [], [], [], [], [])

    def add(self, line: CountedCard) -> None:
        """One more line."""
        # Read and written again, so that a label typed in small letters or without its dash is the
        # same number; one whose check character is wrong is unknown.
        number = str(read_stock_number(line.number) or "")
        if number in self._shared:
            raise Refused(
                f"{line.where}: {self._shared[number]}, so the count cannot tell them apart."
            )
        card = self._known.get(number)
        if card is None:
            self._so_far.unknown.append(line)
        elif number in self._seen:
            self._so_far.twice.append(line)
        else:
            self._place(card, line)
        self._seen.add(number)

    def _place(self, card: Stocked, line: CountedCard) -> None:
        # It lies there, but the record says it left: the dealer has to decide which of the two is
        # wrong.
        if not card.mark.in_place:
            self._so_far.gone.append(card)
        elif card.number not in self._wanted or _is_elsewhere(card, line):
            self._so_far.elsewhere.append((card, line.place))
        else:
            self._found.add(card.number)

    def count(self) -> StockCount:
        """What came of it."""
        # By `seen` and not by `found`: a card that was found elsewhere is not missing as well.
        missing = [card for number, card in self._wanted.items() if number not in self._seen]
        missing.sort(key=lambda card: card.order)
        return self._so_far._replace(found=len(self._found), missing=missing)


def _is_elsewhere(card: Stocked, line: CountedCard) -> bool:
    # A count without places is one of numbers alone: then only what is there counts, and not where.
    return bool(line.place) and place_key(line.place) != place_key(card.mark.tags.place)
