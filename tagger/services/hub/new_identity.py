"""A copied lot as a lot of its own: for the hub, and for its stock numbers."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from tagger.core.lot.change import StockBegun
from tagger.core.model.stock_number import part_of
from tagger.errors import LotError
from tagger.services.stock_part import taken_parts
from tagger.store.hub.new_identity import give_identity
from tagger.store.lot.lot_file import LotFile
from tagger.store.machine.lots import LotList
from tagger.store.machine.paths import data_folder

if TYPE_CHECKING:
    from tagger.store.machine.paths import LotPlace


def renew(place: LotPlace) -> str:
    """Make a copy another lot than the one it was copied from; its part of stock numbers from now
    on, empty where it has none. Raises LotError, LockedError, NotSaved."""
    if not place.kept:
        raise LotError(f"{place.name} was never opened, so it has no identity yet.")
    give_identity(place.home, place.name)
    store = LotFile(place.home, place.name)
    try:
        if store.lot.part:
            # two cards must not have one number
            begin = StockBegun(part_of(store.identity, taken_parts(place).__contains__))
            store.note(begin)
    finally:
        store.close()
    LotList(data_folder()).opened(replace(place, own=store.lot.name), store.stands, store.lot.part)
    return store.lot.part
