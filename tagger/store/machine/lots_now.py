"""The lots of this machine as they are now."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tagger.errors import LotError
from tagger.store.lot.lot_file import read_lot

if TYPE_CHECKING:
    from tagger.store.machine.lots import KnownLot, LotList


def lots_now(lots: LotList) -> list[KnownLot]:
    """All lots on the list, the one opened last first, each with how far it is now."""
    return [_looked_at(known) for known in lots.known()]


def _looked_at(known: KnownLot) -> KnownLot:
    if not known.place.kept:
        return known
    try:
        lot = read_lot(known.place.home)
    except LotError:  # on a disk that is not there, or damaged: the list is told all the same
        return known
    return known._replace(counts=lot.counts())
