"""What a page says of a lot: counts, sets, and what the feeder got wrong."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from tagger.core.audit.audited_lot import AuditedLot
from tagger.core.model.text import fold
from tagger.core.reports.completion import Holdings, SetCount
from tagger.exchange.shown.chart import SetProgress
from tagger.exchange.shown.page import LotSummary
from tagger.imaging.scan.folder import list_scans
from tagger.services.lists.lot_checklists import read_lists
from tagger.services.scans.measurements import findings_of

if TYPE_CHECKING:
    from tagger.core.audit.findings import Finding
    from tagger.core.audit.measured import Measured
    from tagger.core.lot.lot import LotState
    from tagger.core.model.tags import Mark
    from tagger.store.machine.paths import LotPlace


def lot_summary(place: LotPlace, lot: LotState, findings: Sequence[Finding] | None) -> LotSummary:
    """A lot in numbers; `findings` is None where they were not looked for. What cannot be read of
    its checklists is told."""
    counts = lot.counts()
    marks = [lot.mark(pair.id) for pair in lot.arrangement.pairs]
    return LotSummary(
        place.name,
        lot.cards,
        counts.tagged,
        counts.set_aside,
        sum(1 for mark in marks if mark.gone),
        list(_sets(marks, lot.checklists)),
        findings,
    )


def measured_findings(
    place: LotPlace, lot: LotState, measured: Mapping[str, Measured]
) -> list[Finding]:
    """What is found in a lot whose scans are measured already."""
    scans = list_scans(place.folder, lot.arrangement.mending.joined).scans
    return findings_of(AuditedLot(lot.arrangement, scans), measured)


def _sets(marks: Sequence[Mark], checklists: tuple[str, ...]) -> Iterator[SetProgress]:
    """The sets of a checklist of which any card is there, then the others."""
    copies = _copies(marks)
    listed = set[str]()
    # A lot without tags has no set that is begun, so its lists need not be read.
    for one in _listed(marks, checklists) if copies else ():
        key = fold(one.set)
        listed.add(key)
        yield SetProgress(one.set, copies[key].total(), one.base.have, one.base.cards)
    for key, names in copies.items():
        if key not in listed:
            yield SetProgress(names.most_common(1)[0][0], names.total())


def _copies(marks: Iterable[Mark]) -> Mapping[str, Counter[str]]:
    """How many cards of each set are there, by its name as it is compared, in each spelling."""
    found: defaultdict[str, Counter[str]] = defaultdict(Counter)
    for mark in marks:
        # What was sold no longer counts for a set.
        if mark.in_stock:
            found[fold(mark.tags.set)][mark.tags.set] += 1
    return found


def _listed(marks: Sequence[Mark], checklists: tuple[str, ...]) -> Iterator[SetCount]:
    """The sets of the checklists of which any card is there, counted."""
    if not checklists:
        return
    holdings = Holdings(read_lists(checklists))
    holdings.add(marks)
    yield from map(holdings.count, holdings.begun())
