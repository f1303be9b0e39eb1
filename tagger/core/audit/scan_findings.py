"""What is wrong with single scans: files that are there twice, damage, and what was measured on
them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from statistics import median
from typing import TYPE_CHECKING

from tagger.core.audit.card_size import COMMON, crops, lot_size, size_faults
from tagger.core.audit.findings import DAMAGE, FAULTS, FaultWords, Finding, FindingKind
from tagger.core.audit.measured import Measured
from tagger.core.fixes.feeding import SkipScan
from tagger.core.model.text import named

if TYPE_CHECKING:
    from tagger.core.audit.audited_lot import AuditedLot

Known = Mapping[str, Measured]
MOST = 0.5  # of a lot's scans: what more of them have is said once for the lot
AGAIN_AND_AGAIN = 3  # stretches of a fault that several scans have, from which on it is said once
FEWEST = 4  # scans that show a sleeve or a case before it is said of the lot


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
    odd = size_faults(known)
    for name, fault in FAULTS.items():
        seen = {scan: said for scan in ordered for said in _seen(known[scan], name)}
        seen |= {scan: said for scan, (kind, said) in odd.items() if kind == name}
        faulty = _unusual(lot, [scan for scan in ordered if scan in seen], known, fault)
        runs = _told_together(lot, faulty, known, fault)
        found += [_faulty(lot, run, fault, seen[run[0]]) for run in runs]
    found += _blank_sides(lot, ordered, known)
    return [*found, *_other_size(lot, ordered, known), *_in_holders(lot, ordered, known)]


def _told_together(
    lot: AuditedLot, faulty: Sequence[str], known: Known, fault: FaultWords
) -> Iterable[Sequence[str]]:
    """The faulty scans by finding: a feeder that is set wrong does the same to card after card,
    which is one thing to fix."""
    if _is_of_all(fault, faulty, known):
        return [faulty]
    runs = list(_runs(lot, faulty, bool(fault.several)))
    # what comes again and again comes from how the lot was scanned, too
    return [faulty] if fault.several and len(runs) >= AGAIN_AND_AGAIN else runs


def _unusual(
    lot: AuditedLot, faulty: Sequence[str], known: Known, fault: FaultWords
) -> Sequence[str]:
    """Faulty scans, without blank ones and nearly blank ones of a side that mostly is so."""
    if fault.kind not in (FindingKind.BLANK, FindingKind.NEARLY_BLANK):
        return faulty
    # beside blank ones a side with some dust is nearly blank; a blank one beside those is not usual
    kinds = ("blank",) if fault.kind is FindingKind.BLANK else ("blank", "nearly blank")
    usual = _usual_sides(lot, known, *kinds)
    return [scan for scan in faulty if lot.places[scan].side not in usual]


def _is_of_all(fault: FaultWords, faulty: Sequence[str], known: Known) -> bool:
    """Whether a fault comes from how the lot was scanned, and is said once: most scans have it, or
    there is no margin where the machine crops."""
    if not faulty or not fault.several:
        return False
    cropped = fault.kind is FindingKind.NO_MARGIN and crops(known.values())
    return cropped or len(faulty) > MOST * len(known)


def _usual_sides(lot: AuditedLot, known: Known, *kinds: str) -> set[str]:
    """The sides of which most scans of the lot have one of these faults: that is how they look."""
    of_side = Counter(lot.places[scan].side for scan in known)
    faulty = Counter(lot.places[scan].side for scan in known if known[scan].has(*kinds))
    return {side for side, count in faulty.items() if count > MOST * of_side[side]}


def _blank_sides(lot: AuditedLot, ordered: Sequence[str], known: Known) -> list[Finding]:
    """That all fronts or all backs are blank, said once for the lot."""
    remedy = "Nothing to do if they really are; else check that the scanner scans both sides."
    position = lot.places[ordered[0]].position if ordered else 0
    return [
        Finding(
            FindingKind.BLANK,
            (),
            position,
            f"the {side}s of this lot are blank, by most scans",
            remedy,
        )
        for side in sorted(_usual_sides(lot, known, "blank"))
    ]


def _other_size(lot: AuditedLot, ordered: list[str], known: Known) -> list[Finding]:
    """That all cards are of another size than the usual one, said once for the lot."""
    size = lot_size(known.values())
    if size in COMMON:
        return []
    detail = f"the cards of this lot are {size[0]:.0f} x {size[1]:.0f} mm, by most scans"
    remedy = "Nothing to do if the cards have this size; else check the scanner's dots per inch."
    position = lot.places[ordered[0]].position
    return [Finding(FindingKind.LOT_SIZE, (), position, detail, remedy)]


def _in_holders(lot: AuditedLot, ordered: list[str], known: Known) -> list[Finding]:
    """That the cards are in sleeves or cases, said once for the lot."""
    placed = [one for one in known.values() if one.corners is not None]
    held = [one.around for one in placed if one.around != (0.0, 0.0)]
    if len(held) < FEWEST or len(held) <= MOST * len(placed):
        return []
    wide, high = (median(sides) for sides in zip(*held, strict=True))
    detail = (
        f"the cards of this lot are in sleeves or cases, by most scans: {wide:.0f} mm wider and "
        f"{high:.0f} mm higher than the cards"
    )
    remedy = "Nothing to do: edges are those of the cards. Wear may not show through plastic."
    position = lot.places[ordered[0]].position
    return [Finding(FindingKind.HOLDERS, (), position, detail, remedy)]


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


def _seen(known: Measured, name: str) -> list[str]:
    """The measure of a fault in words; empty where the scan has none of it."""
    return [seen for kind, seen in known.faults if kind == name][:1]


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
