"""What is wrong with single scans: files that are there twice, damage, and what was measured on
them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from tagger.core.audit.findings import DAMAGE, FAULTS, FaultWords, Finding, FindingKind
from tagger.core.audit.measured import Measured
from tagger.core.fixes.feeding import SkipScan
from tagger.core.model.text import named

if TYPE_CHECKING:
    from tagger.core.audit.audited_lot import AuditedLot

Known = Mapping[str, Measured]


def doubled_findings(lot: AuditedLot, known: Known) -> list[Finding]:
    """Scans of the same bytes."""
    first: dict[str, str] = {}
    found: list[Finding] = []
    for scan in lot.scans:
        # Of scans that are left out nothing is asked any more.
        digest = known[scan].digest if scan in known else ""
        if digest in first:
            found.append(_doubled(lot, first[digest], scan))
        # What could not be read has none, and two of these need not be the same.
        elif digest:
            first[digest] = scan
    return found


def _doubled(lot: AuditedLot, first: str, scan: str) -> Finding:
    detail = f"{named(scan)} and {named(first)} are the same file, byte for byte"
    remedy = f"Skip {named(scan)}; later scans move up. If a side is missing then, scan it."
    position = lot.places[scan].position
    fixes = (SkipScan(scan),)
    return Finding(FindingKind.DOUBLED, (first, scan), position, detail, remedy, fixes)


def fault_findings(lot: AuditedLot, known: Known) -> list[Finding]:
    """What is wrong with single scans; what goes on from scan to scan is told once."""
    ordered = _card_by_card(lot, known)
    found = [_damaged(lot, scan, known[scan]) for scan in ordered if known[scan].state in DAMAGE]
    for name, fault in FAULTS.items():
        faulty = [scan for scan in ordered if known[scan].has(name)]
        # A feeder that is set wrong does the same to card after card, which is one thing to fix.
        for run in _runs(lot, faulty, bool(fault.several)):
            found.append(_faulty(lot, run, fault, _seen(known[run[0]], name)))
    return found


def _card_by_card(lot: AuditedLot, scans: Iterable[str]) -> list[str]:
    """The scans as the dealer would go through them, of a card the front first."""
    # Not in feeding order: in two stacks a card's back comes long after its front.
    return sorted(scans, key=lambda scan: (lot.places[scan].position, _is_back(lot, scan)))


def _is_back(lot: AuditedLot, scan: str) -> bool:
    return lot.places[scan].side == "back"


def _damaged(lot: AuditedLot, scan: str, known: Measured) -> Finding:
    words = DAMAGE[known.state]
    position, side = lot.places[scan]
    detail = f"{named(scan)}, the {side} of card {position}, {words.words}{_bracketed(known.seen)}"
    return Finding(words.kind, (scan,), position, detail, words.remedy, aside=words.reason)


def _faulty(lot: AuditedLot, run: Sequence[str], fault: FaultWords, seen: str) -> Finding:
    position = lot.places[run[0]].position
    words = fault.several if len(run) > 1 else fault.words
    return Finding(
        fault.kind,
        tuple(run),
        position,
        f"{_where(lot, run)} {words}{_bracketed(seen)}",
        fault.remedy,
        aside=fault.reason,
        split=fault.kind is FindingKind.SEVERAL,
    )


def _where(lot: AuditedLot, run: Sequence[str]) -> str:
    """A run of scans in words, as the subject of a sentence."""
    position, side = lot.places[run[0]]
    if len(run) == 1:
        return f"{named(run[0])}, the {side} of card {position},"
    last = lot.places[run[-1]].position
    return f"{len(run)} scans of cards {position} to {last}, starting with {named(run[0])},"


def _seen(known: Measured, name: str) -> str:
    """The measure of a fault in words."""
    return next(seen for kind, seen in known.faults if kind == name)


def _bracketed(seen: str) -> str:
    return f" ({seen})" if seen else ""


def _go_on(lot: AuditedLot, before: str, after: str) -> bool:
    """Whether two scans, one before the other, are of the same card or of neighbours."""
    return lot.places[after].position - lot.places[before].position <= 1


def _runs(lot: AuditedLot, scans: Sequence[str], together: bool) -> Iterator[list[str]]:
    """Scans of the same card or of neighbours as one run, where a fault is told `together`."""
    run: list[str] = []
    for scan in scans:
        if run and together and _go_on(lot, run[-1], scan):
            run.append(scan)
            continue
        if run:
            yield run
        run = [scan]
    if run:
        yield run
