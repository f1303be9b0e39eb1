"""Today's prices of the checklists of lots, to be published with their cards."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.file_stamp import file_stamp
from tagger.services.lists.lot_checklists import ListPrices
from tagger.store.hub.publishing import LotToPublish
from tagger.store.lot.lot_file import read_lot
from tagger.store.machine.known_lists import lists_now

if TYPE_CHECKING:
    from tagger.core.lot.view import LotView
    from tagger.store.hub.card_documents import Columns
    from tagger.store.machine.paths import LotPlace


class Prices:
    """Today's prices of the lots' checklists, each list read once."""

    def __init__(self, today: bool) -> None:
        self._today = today
        self._prices = ListPrices()

    def lot(self, place: LotPlace) -> LotToPublish:
        """A lot as it is to be published. Raises LotError."""
        stamp = None
        if self._today:
            stamp = _stamp(read_lot(place.home).checklists)
        return LotToPublish(place.home, place.name, stamp, self._of)

    def _of(self, view: LotView) -> Columns:
        checklists = view.checklists
        return lambda tags: (self._prices.now(checklists, tags).extra,)


def _stamp(checklists: Iterable[str]) -> str:
    """What tells one state of some lists from another, without reading them."""
    # by name and not by path: a list that is moved says the same
    seen = [(Path(path).name, _lasting(Path(path))) for path in lists_now(tuple(checklists))]
    return hashlib.sha256(repr(sorted(seen, key=repr)).encode()).hexdigest()[:16]


def _lasting(path: Path) -> tuple[int, int] | None:
    found = file_stamp(path)
    return found.lasting if found else None
