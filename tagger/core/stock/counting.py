"""Stock-taking: what was counted held against what should be there."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.model.stock_number import read_stock_number
from tagger.core.model.text import fold

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
        return not any(self[1:])


def compare(
    expected: Iterable[Stocked], every: Iterable[Stocked], counted: Iterable[CountedCard]
) -> StockCount:
    """Hold a count against the cards that are `expected`; `every` are all that there ever were."""
    known = {card.number: card for card in every if card.number}
    wanted = {card.number: card for card in expected if card.number}
    count = StockCount(0, [], [], [], [], [])
    seen: set[str] = set()
    found = 0
    for line in counted:
        number = str(read_stock_number(line.number) or "")
        card = known.get(number)
        if card is None:
            count.unknown.append(line)
        elif number in seen:
            count.twice.append(line)
        elif not card.mark.in_place:
            count.gone.append(card)
        elif number not in wanted or _is_elsewhere(card, line):
            count.elsewhere.append((card, line.place))
        else:
            found += 1
        seen.add(number)
    missing = [card for number, card in wanted.items() if number not in seen]
    count.missing.extend(sorted(missing, key=lambda card: card.order))
    return count._replace(found=found)


def _is_elsewhere(card: Stocked, line: CountedCard) -> bool:
    return bool(line.place) and _plain(line.place) != _plain(card.mark.tags.place)


def _plain(place: str) -> str:
    return "".join(fold(place).split())
