"""What the feeder got wrong in a lot, told from what was measured on its scans: findings, each with
a remedy.

Nothing is shifted or fixed here. What may be something else, a new set above all, is put as a
question."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from tagger.core.audit.count_findings import count_findings
from tagger.core.audit.dividers.findings import aside_findings, divider_findings
from tagger.core.audit.dividers.placed_findings import placed_findings, without_told
from tagger.core.audit.feed_findings import feeding_findings
from tagger.core.audit.feed_report import Comparing, Feeding
from tagger.core.audit.frames.frame_findings import frame_findings
from tagger.core.audit.scan_findings import doubled_findings, fault_findings
from tagger.core.audit.turned_findings import turned_findings

if TYPE_CHECKING:
    from tagger.core.audit.audited_lot import AuditedLot
    from tagger.core.audit.dividers.found import Seen
    from tagger.core.audit.findings import Finding
    from tagger.core.audit.measured import Measured

NO_CODES: Seen = {}


def audit(
    lot: AuditedLot,
    measured: Callable[[str], Measured],
    comparing: Comparing,
    expected: int | None = None,
    codes: Seen | None = NO_CODES,
) -> list[Finding]:
    """All findings, by position. `expected` is how many cards were fed, where somebody counted;
    `codes` are those of dividers, by scan, None where nothing is there that reads them."""
    known = _as_seen(lot, measured)
    dividers = divider_findings(lot.arrangement, codes, known)
    theirs = {scan for finding in dividers for scan in finding.scans}
    doubled = doubled_findings(lot, known)
    twice = {scan for finding in doubled for scan in finding.scans}
    feeding = _feeding(lot, known, comparing, expected, theirs | {one.scans[1] for one in doubled})
    turned = turned_findings(feeding)
    others = [
        *dividers,
        *without_told(placed_findings(lot.arrangement, codes or NO_CODES), turned),
        *aside_findings(lot.arrangement),
        *count_findings(lot, expected),
        *doubled,
        *fault_findings(lot, known),
        # A file that is there twice slips the order as well; its own finding has the remedy.
        *(one for one in feeding_findings(feeding) if not twice & set(one.scans)),
        *turned,
    ]
    found = [*others, *frame_findings(lot.pairs, known, others)]
    accepted = lot.arrangement.mending.accepted
    news = [
        finding
        for finding in found
        # of a divider nothing else is wrong than that it is no card
        if finding.key not in accepted and (finding in dividers or not theirs & set(finding.scans))
    ]
    return sorted(news, key=lambda finding: finding.position)


def _feeding(
    lot: AuditedLot,
    known: dict[str, Measured],
    comparing: Comparing,
    expected: int | None,
    copies: set[str],
) -> Feeding:
    """The lot as it was fed, without the files that are there a second time."""
    in_turn = lot.in_turn()
    turns = set(in_turn)
    half_cards = sum(not turns.issuperset(pair.scans) for pair in lot.pairs)
    scans = [scan for scan in in_turn if scan not in copies]
    return Feeding(
        scans, lot.order, lot.places, known, comparing, lot.times, expected, half_cards,
        lot.begins(),
    )  # fmt: skip


def _as_seen(lot: AuditedLot, measured: Callable[[str], Measured]) -> dict[str, Measured]:
    """What was measured on each scan that is on a card."""
    turns = dict(lot.arrangement.mending.turns)
    # A scan that the dealer has turned is judged as it is seen, else it would be found again.
    return {scan: measured(scan).turned(turns.get(scan, 0)) for scan in lot.places}
