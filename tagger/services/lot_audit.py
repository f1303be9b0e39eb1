"""A lot looked through from its folder, for what the feeder got wrong."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tagger.core.audit.audited_lot import AuditedLot
from tagger.core.audit.replaced_findings import replaced_findings
from tagger.core.lot.scan_stamps import asked_cards
from tagger.errors import NoScans
from tagger.services.measurements import findings_of, measure_lot
from tagger.services.opening import look_at_scans

if TYPE_CHECKING:
    from tagger.core.audit.findings import Finding
    from tagger.store.machine.paths import LotPlace


def audit_lot(place: LotPlace, expected: int | None) -> tuple[AuditedLot, list[Finding]]:
    """A lot as it would open now, and what is found in it. `expected` is how many cards were fed,
    where somebody counted. Raises NoScans."""
    (state, folder), changed = look_at_scans(place)
    arrangement = state.arrangement
    lot = AuditedLot(arrangement, folder.scans)
    if not lot.pairs:
        raise NoScans(place.name)
    scans = lot.places
    found = findings_of(lot, measure_lot(place, list(scans)).of(scans), expected)
    # first: a tag on the wrong card costs more than anything that the feeder got wrong
    asked = replaced_findings(state, asked_cards(state, changed), changed)
    return lot, [*asked, *found]
