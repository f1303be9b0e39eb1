"""The cards of lots as they lie in their places."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.lot.fields import CardInLot, cards
from tagger.core.model.place import PlaceKey, place_key, place_order
from tagger.core.model.text import printable
from tagger.core.reports.card_search import between, short_name

if TYPE_CHECKING:
    from tagger.core.lot.view import LotView
    from tagger.core.model.tags import Mark


class Stocked(NamedTuple):
    """A card that is on record (`Mark.on_record`). `lot` is the lot's name; `number` the stock
    number, empty where the lot has none yet; `from_front` which one of its place it is, from 1, 0
    where it is not there; `before` and `after` name its neighbours there, empty at either end;
    `elsewhere`: it lies at another station."""

    lot: str
    position: int
    id: int
    front: str
    mark: Mark
    number: str
    from_front: int = 0
    before: str = ""
    after: str = ""
    elsewhere: bool = False

    @property
    def lies(self) -> str:
        """`3 from the front, between #45 and #47`."""
        if not self.from_front:
            return self.mark.gone
        return f"{self.from_front} from the front, {between(self.before, self.after)}"

    @property
    def nearness(self) -> tuple[object, ...]:
        """A key by which the card that is nearest to hand comes first: one of this station, and
        there the front-most in its place."""
        # How far from the front goes before the place itself: whichever box it is, a card near the
        # front is quick to find.
        return (self.elsewhere, self.from_front, *self.order)

    @property
    def order(self) -> tuple[object, ...]:
        """A key that orders cards by place, and there from the front."""
        return place_order(self.mark.tags.place), self.lot, self.from_front, self.position


def stocked(name: str, lot: LotView, elsewhere: bool = False) -> list[Stocked]:
    """The cards of a lot that are on record, in feeding order: also those that are set aside with
    their tags, and those that are gone."""
    # any card that lies there, also one without tags, counts from the front
    every = list(cards(lot))
    neighbours = dict(_neighbours(every))
    return [
        Stocked(
            name,
            card.position,
            card.pair.id,
            card.pair.front or "",
            card.mark,
            card.stock_number,
            *neighbours.get(card.position, (0, "", "")),
            elsewhere,
        )
        for card in every
        if card.mark.on_record
    ]


def shared_places(stock: Iterable[Stocked]) -> set[PlaceKey]:
    """The places in which cards of several lots lie: which of the lots lies in front is not known,
    so that each is counted by itself."""
    lots: dict[PlaceKey, str] = {}
    shared = set()
    for card in stock:
        place = place_key(card.mark.tags.place)
        if card.from_front and lots.setdefault(place, card.lot) != card.lot:
            shared.add(place)
    return shared


def _neighbours(every: list[CardInLot]) -> Iterator[tuple[int, tuple[int, str, str]]]:
    """(position, (from the front, before, after)) of each card that lies in its place."""
    places: dict[PlaceKey, list[CardInLot]] = {}
    for card in every:
        if card.mark.in_place:
            places.setdefault(place_key(card.mark.tags.place), []).append(card)
    for there in places.values():
        names = ["", *(short_name(card.mark, card.position) for card in there), ""]
        for at, card in enumerate(there, start=1):
            yield card.position, (at, names[at - 1], names[at + 1])


def told_shared(lots: Iterable[str], number: str) -> str:
    """That a stock number is of a card in each of several lots."""
    return f"{' and '.join(lots)} both have a card {number}"


def shared_numbers(cards: Iterable[Stocked]) -> dict[str, str]:
    """The stock numbers that cards of several lots have, as those of a copied folder, each with a
    few words that say so: which card is meant, no such number can say."""
    lots: dict[str, list[str]] = {}
    for card in cards:
        if card.number:
            lots.setdefault(card.number, []).append(printable(card.lot))
    return {number: told_shared(of, number) for number, of in lots.items() if len(of) > 1}
