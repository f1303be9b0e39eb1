"""The questions about cards whose scans are other files than when they were tagged."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import TYPE_CHECKING

from tagger.core.audit.findings import Finding, FindingKind
from tagger.core.lot.scan_stamps import other_scans
from tagger.core.model.text import named, printable

if TYPE_CHECKING:
    from tagger.core.lot.view import LotView
    from tagger.core.model.scan_ref import ScanStamp

REMEDY = (
    "Look at the card: the same one scanned again keeps its tags ('same'), another card loses them "
    "('another')."
)
WHICH = "Say which it is: tagger fix FOLDER {at} same, or tagger fix FOLDER {at} another."


def replaced_findings(
    lot: LotView, positions: Iterable[int], now: Mapping[str, ScanStamp]
) -> Iterator[Finding]:
    """A question for each of these cards; `now` has what the files are."""
    for position in positions:
        pair = lot.arrangement.pairs[position - 1]
        scans = other_scans(lot, pair, now)
        if not scans:
            continue
        are = "are other files" if len(scans) > 1 else "is another file"
        tags = printable(lot.mark(pair.id).tags.brief(), 80)
        yield Finding(
            FindingKind.REPLACED,
            scans,
            position,
            f"{' and '.join(map(named, scans))} {are} than when card {position} was tagged {tags}",
            REMEDY,
            ask=True,
            replaced=True,
        )
