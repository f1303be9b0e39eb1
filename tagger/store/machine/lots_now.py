"""The lots of this machine as they are now."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tagger.errors import LotError
from tagger.store.lot.lot_file import read_lot
from tagger.store.lot.troubles import note_trouble

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
    except LotError as error:  # the list is told all the same, and why at its end
        note_trouble(known.place.home, error.message.removesuffix("."))
        return known
    return known._replace(counts=lot.counts())
