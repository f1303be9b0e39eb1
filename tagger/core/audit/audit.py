"""What the feeder got wrong in a lot, told from what was measured on its scans: findings, each with
a remedy.

Nothing is shifted or fixed here. What may be something else, a new set above all, is put as a
question."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from tagger.core.audit.count_findings import count_findings
from tagger.core.audit.feed_report import Feeding, Likeness, Orienting, feeding_findings
from tagger.core.audit.scan_findings import doubled_findings, fault_findings
from tagger.core.audit.turned_findings import turned_findings

if TYPE_CHECKING:
    from tagger.core.audit.audited_lot import AuditedLot
    from tagger.core.audit.findings import Finding
    from tagger.core.audit.measured import Measured


def audit(
    lot: AuditedLot,
    measured: Callable[[str], Measured],
    alike: Likeness,
    orient: Orienting,
    expected: int | None = None,
) -> list[Finding]:
    """All findings, by position. `alike` and `orient` are `imaging.survey.perceptual_hash.
    alike_band` and `imaging.survey.orientation.find_orientations`; `expected` is how many cards
    were fed."""
    known = _as_seen(lot, measured)
    doubled = doubled_findings(lot, known)
    twice = {scan for finding in doubled for scan in finding.scans}
    feeding = Feeding(lot.in_turn(), lot.order, lot.places, known, alike, orient)
    found = [
        *count_findings(lot, expected),
        *doubled,
        *fault_findings(lot, known),
        # A file that is there twice slips the order as well; its own finding has the remedy.
        *(one for one in feeding_findings(feeding) if not twice & set(one.scans)),
        *turned_findings(feeding),
    ]
    accepted = lot.arrangement.mending.accepted
    news = [finding for finding in found if finding.key not in accepted]
    return sorted(news, key=lambda finding: finding.position)


def _as_seen(lot: AuditedLot, measured: Callable[[str], Measured]) -> dict[str, Measured]:
    """What was measured on each scan that is on a card."""
    turns = dict(lot.arrangement.mending.turns)
    # A scan that the dealer has turned is judged as it is seen, else it would be found again.
    return {scan: measured(scan).turned(turns.get(scan, 0)) for scan in lot.places}
