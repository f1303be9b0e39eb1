"""What lots come to by the user's own prices and those in the user's checklists."""

from __future__ import annotations

import os
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tagger.core.model.scan_ref import LotRef
from tagger.core.model.tags import State
from tagger.core.reports.value import Valuation
from tagger.services.lot_checklists import FurtherColumns

if TYPE_CHECKING:
    from tagger.config import Settings
    from tagger.services.lot_selection import ChosenLots


@dataclass(frozen=True)
class ValuedLots:
    """Estimates over so many lots; `skipped` has a sentence for each checklist and each lot that
    cannot be read."""

    valuation: Valuation
    lots: int
    skipped: tuple[str, ...]


def value_lots(lots: ChosenLots, settings: Settings) -> ValuedLots:
    """Estimate all cards that are tagged and there. Raises LotError where there is no lot."""
    # One for all lots, which often share a list: each is read once.
    valuation, columns = Valuation(settings.value, settings.scale), FurtherColumns()
    for place, lot in lots.read():
        known_as = LotRef(os.fspath(place.folder), name=place.name).text
        for position, pair in enumerate(lot.arrangement.pairs, start=1):
            mark = lot.mark(pair.id)
            # What was sold is no longer the dealer's to ask a price for.
            if mark.state is State.TAGGED and not mark.gone:
                extra = columns.of(lot.checklists, mark.tags)
                valuation.add(known_as, position, mark.tags, extra)
    return ValuedLots(valuation, lots.count, (*columns.unread, *lots.skipped))
