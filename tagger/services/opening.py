"""Ways into a lot."""

from __future__ import annotations

from tagger.core.feeding.pairing import first_intake, later_intake
from tagger.core.lot.lot import LotState
from tagger.imaging.scan.folder import list_scans
from tagger.store.lot.lot_file import read_lot
from tagger.store.machine.paths import LotPlace


def look_at(place: LotPlace) -> tuple[LotState, int]:
    """A lot as it would open now, and how many scans its folder holds. Nothing is written."""
    lot = read_lot(place.home)
    scans = list_scans(place.folder, lot.arrangement.mending.joined).scans
    if lot.cards or lot.arrangement.mending.left_out:
        arrangement, next_id = later_intake(lot.arrangement, lot.marks, scans, lot.next_id)
    else:
        arrangement, next_id = first_intake(scans)
    if arrangement != lot.arrangement:
        lot.rearrange(arrangement, next_id)
    return lot, len(scans)
