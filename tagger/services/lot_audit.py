"""A lot looked through from its folder, for what the feeder got wrong."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from tagger.core.audit.audited_lot import AuditedLot
from tagger.core.audit.dividers.findings import asked_where_tagged
from tagger.core.audit.dividers.placed_findings import unlisted_findings
from tagger.core.audit.frames.frame_findings import without_answered
from tagger.core.audit.printed.print_findings import print_findings
from tagger.core.audit.replaced_findings import replaced_findings
from tagger.core.index.divider_names import listed_by
from tagger.core.lot.scan_stamps import asked_cards
from tagger.errors import NoScans
from tagger.services.lists.lot_checklists import index_of
from tagger.services.opening import look_at_scans
from tagger.services.reading.reader import kept_readings
from tagger.services.scans.divider_codes import can_look, look_for_dividers
from tagger.services.scans.measurements import findings_of, measure_lot

if TYPE_CHECKING:
    from tagger.core.audit.findings import Finding
    from tagger.core.model.arrangement import Arrangement
    from tagger.store.machine.paths import LotPlace


class LotAudit:
    """A lot as it would open now, measured once; judged as often as its arrangement changes.
    `expected` is how many cards were fed, where somebody counted. Raises NoScans."""

    def __init__(self, place: LotPlace, expected: int | None) -> None:
        (state, folder), changed = look_at_scans(place)
        if not state.arrangement.pairs:
            raise NoScans(place.name)
        self.lot = AuditedLot(state.arrangement, folder.scans)
        self._expected = expected
        scans = list(self.lot.places)
        self._state = state
        dividers = [scan for one in state.arrangement.mending.dividers for scan in one.scans]
        # before all else: what is a divider is no card
        self._codes = look_for_dividers(place, [*scans, *dividers]) if can_look() else None
        self._measured = measure_lot(place, scans)
        self._times = self._measured.times(scans)
        self._reading = kept_readings(place.folder, state.arrangement)
        self._asked = replaced_findings(state, asked_cards(state, changed), changed)

    def judged(self, arrangement: Arrangement) -> list[Finding]:
        """What is found in the lot when its cards are arranged so."""
        lot = AuditedLot(arrangement, self.lot.scans, self._times)
        found = findings_of(lot, self._measured.of(lot.places), self._expected, self._codes)
        state = replace(self._state, arrangement=arrangement)
        found = without_answered(state, asked_where_tagged(state, found))
        if arrangement.mending.dividers:
            found += self._unlisted(arrangement)
        # first: a tag on the wrong card costs more than anything that the feeder got wrong
        printed = print_findings(arrangement, self._state.mark, self._reading, found)
        return [*self._asked, *found, *printed]

    def _unlisted(self, arrangement: Arrangement) -> Iterator[Finding]:
        listed = listed_by(index_of(self._state.checklists).index)
        return unlisted_findings(arrangement, listed.sets, listed.parallels)


def audit_lot(place: LotPlace, expected: int | None) -> tuple[AuditedLot, list[Finding]]:
    """A lot as it would open now, and what is found in it. Raises NoScans."""
    audit = LotAudit(place, expected)
    return audit.lot, audit.judged(audit.lot.arrangement)
