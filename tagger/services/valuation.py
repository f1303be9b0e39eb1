"""What lots come to by the user's own prices and those in the user's checklists."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.model.place import places_spelled
from tagger.core.model.scan_ref import LotRef
from tagger.core.model.text import one_spelling
from tagger.core.reports.value import Valuation
from tagger.services.lists.lot_checklists import ListPrices

if TYPE_CHECKING:
    from tagger.config import Settings
    from tagger.core.stock.stocked import Stocked
    from tagger.services.lot_selection import ChosenLots
    from tagger.services.stock import Stock


class ValuedLots(NamedTuple):
    """Estimates over so many lots; `skipped` has a sentence for each checklist and each lot that
    cannot be read."""

    valuation: Valuation
    lots: int
    skipped: tuple[str, ...]


def value_lots(lots: ChosenLots, settings: Settings) -> ValuedLots:
    """Estimate all cards that are tagged and there. Raises LotError where there is no lot."""
    # One for all lots, which often share a list: each is read once.
    valuation, prices = Valuation(settings.value, settings.scale), ListPrices()
    for place, lot in lots.read():
        known_as = LotRef(os.fspath(place.folder), name=place.name).text
        for position, pair in enumerate(lot.arrangement.pairs, start=1):
            mark = lot.mark(pair.id)
            # What was sold is no longer the dealer's to ask a price for.
            if mark.in_stock:
                tags = prices.now(lot.checklists, mark.tags)
                valuation.add(known_as, position, tags, (tags.extra,))
    return ValuedLots(valuation, lots.count, (*prices.unread, *lots.skipped))


@dataclass(frozen=True)
class StockValue:
    """Estimates of some cards, by their places and by their sets (where a valuation has lots);
    `places` and `set_names` have each place and set by its one spelling, `unread` a sentence for
    each checklist that cannot be read."""

    by_place: Valuation
    by_set: Valuation
    places: Mapping[str, str]
    set_names: Mapping[str, str]
    unread: Sequence[str]


def stock_value(stock: Stock, cards: Sequence[Stocked], settings: Settings) -> StockValue:
    """Estimate cards of several lots."""
    prices = ListPrices()
    places = Valuation(settings.value, settings.scale)
    sets = Valuation(settings.value, settings.scale)
    spelled = places_spelled(card.mark.tags.place for card in cards)
    named = one_spelling(card.mark.tags.set for card in cards)
    for card in cards:
        tags = prices.now(stock.lots[card.lot][1].checklists, card.mark.tags)
        places.add(spelled[tags.place], card.position, tags, (tags.extra,))
        sets.add(named[tags.set], card.position, tags, (tags.extra,))
    return StockValue(places, sets, spelled, named, prices.unread)
