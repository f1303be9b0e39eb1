"""What the feeder got wrong in a lot, told from what was measured on its scans: findings, each with
a remedy.

Nothing is shifted or mended here. What may be something else, a new set above all, is put as a
question."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from tagger.core.audit.feed_report import (
    Feeding,
    Likeness,
    Telling,
    feeding_findings,
    turned_findings,
)
from tagger.core.audit.findings import DAMAGE, FAULTS, Finding, FindingKind
from tagger.core.audit.measured import Measured
from tagger.core.feeding.numbering import gaps, name_beside
from tagger.core.feeding.sequence import ALTERNATING
from tagger.core.fixes.feeding import SkipScan
from tagger.core.model.arrangement import Fixes, Pair, SideOrder
from tagger.core.model.text import named


@dataclass(frozen=True)
class AuditedLot:
    """What is looked at: the cards in their order, the rule that made them, and the scans in
    feeding order."""

    pairs: Sequence[Pair]
    sides: SideOrder
    scans: Sequence[str]
    mending: Fixes = field(default_factory=Fixes)

    def places(self) -> dict[str, tuple[int, str]]:
        """The card (from 1) and the side, `front` or `back`, of each scan."""
        out: dict[str, tuple[int, str]] = {}
        for position, pair in enumerate(self.pairs, start=1):
            for scan, side in ((pair.front, "front"), (pair.back, "back")):
                if scan is not None:
                    out[scan] = (position, side)
        return out


def audit(
    lot: AuditedLot,
    measured: Callable[[str], Measured],
    alike: Likeness,
    tell: Telling,
    expected: int | None = None,
) -> list[Finding]:
    """All findings, by position. `alike` and `tell` are `imaging.sameness.alike_band` and
    `imaging.orientation.tell_ways`; `expected` is how many cards were fed."""
    places = lot.places()
    turns = dict(lot.mending.turns)
    known = {scan: measured(scan).turned(turns.get(scan, 0)) for scan in places}
    found = [
        *_counted(lot, places, expected),
        *_doubled(lot, places, known),
        *_faulty(lot, places, known),
    ]
    feeding = Feeding(_sequence(lot), lot.sides, places, known, alike, tell)
    twice = {
        scan for finding in found if finding.kind is FindingKind.DOUBLED for scan in finding.scans
    }
    found += [one for one in feeding_findings(feeding) if not twice & set(one.scans)]
    found += turned_findings(feeding)
    news = [finding for finding in found if finding.key not in lot.mending.accepted]
    return sorted(news, key=lambda finding: finding.position)


def _sequence(lot: AuditedLot) -> list[str]:
    """Scans as they should come in turn: card by card, those with both sides. The last card of a
    lot that alternates counts with one: more may come."""
    out: list[str] = []
    last = len(lot.pairs) - 1
    for at, pair in enumerate(lot.pairs):
        both = [scan for scan in pair[1:] if scan is not None]
        if len(both) == 2 or (at == last and lot.sides in ALTERNATING):
            out += reversed(both) if lot.sides is SideOrder.BACK_FIRST else both
    return out


def _counted(
    lot: AuditedLot, places: dict[str, tuple[int, str]], expected: int | None
) -> list[Finding]:
    """What the names and the numbers alone tell."""
    found: list[Finding] = []
    alone = [at for at, pair in enumerate(lot.pairs, start=1) if None in (pair.front, pair.back)]
    if (
        lot.sides is not SideOrder.FRONT_ONLY
        and len(places) % 2
        and (not lot.mending.held or len(alone) % 2 == 0)
    ):
        detail = f"{len(places)} scans are an odd number: a side is missing, or one too many"
        remedy = "Look for a slip; scan the missing side, or leave out the scan too many."
        found.append(Finding(FindingKind.ODD_NUMBER, (), max(1, len(lot.pairs)), detail, remedy))
    if lot.sides is SideOrder.NAMED or (lot.mending.held and lot.sides is not SideOrder.FRONT_ONLY):
        found += [_side_missing(lot, at) for at in alone]
    for before, after, many in gaps(lot.scans):
        detail = (
            f"{many} number{'s are' if many > 1 else ' is'} missing between {named(before)} "
            f"and {named(after)}"
        )
        remedy = (
            "See whether scans were lost or left elsewhere; put them back into the folder "
            "and open the lot again."
        )
        found.append(
            Finding(FindingKind.GAP, (before, after), places.get(after, (1, ""))[0], detail, remedy)
        )
    if expected is not None and expected != len(lot.pairs):
        detail = f"{len(lot.pairs)} cards, where {expected} were expected"
        remedy = (
            "Count the tray; cards fed two at a time leave no other trace. Feed again what "
            "is missing."
        )
        found.append(Finding(FindingKind.EXPECTED, (), max(1, len(lot.pairs)), detail, remedy))
    return found


def _side_missing(lot: AuditedLot, position: int) -> Finding:
    front, back = lot.pairs[position - 1][1:]
    missing, there = ("front", back or "") if front is None else ("back", front)
    if lot.sides is SideOrder.NAMED:
        remedy = f"Scan the {missing} under the same name; it joins its card."
    else:
        behind = (missing == "back") != (lot.sides is SideOrder.BACK_FIRST)
        where = name_beside(lot.scans, there, behind)
        remedy = (
            f"Scan the {missing} {where}: it joins its card. Or 'rescan {missing}' gives it "
            "the newest scan."
        )
    return Finding(
        FindingKind.SIDE_MISSING, (there,), position, f"{named(there)} has no {missing}", remedy
    )


def _doubled(
    lot: AuditedLot, places: dict[str, tuple[int, str]], known: dict[str, Measured]
) -> list[Finding]:
    """Scans of the same bytes."""
    first: dict[str, str] = {}
    found: list[Finding] = []
    for scan in lot.scans:
        digest = known[scan].digest if scan in known else ""
        if not digest:
            continue
        if digest in first:
            detail = f"{named(scan)} and {named(first[digest])} are the same file, byte for byte"
            remedy = (
                f"Leave {named(scan)} out; the scans after it move up. If a side is missing "
                "now, scan it."
            )
            both = (first[digest], scan)
            found.append(
                Finding(
                    FindingKind.DOUBLED, both, places[scan][0], detail, remedy, (SkipScan(scan),)
                )
            )
        first.setdefault(digest, scan)
    return found


def _faulty(
    lot: AuditedLot, places: dict[str, tuple[int, str]], known: dict[str, Measured]
) -> list[Finding]:
    """What is wrong with single scans; what goes on from scan to scan is told once."""
    found: list[Finding] = []
    ordered = sorted(known, key=lambda one: (places[one][0], places[one][1] == "back"))
    for scan in ordered:
        kind = DAMAGE.get(known[scan].state)
        if kind is not None:
            position, side = places[scan]
            seen = f" ({known[scan].seen})" if known[scan].seen else ""
            detail = f"{named(scan)}, the {side} of card {position}, {kind.words}{seen}"
            found.append(
                Finding(kind.kind, (scan,), position, detail, kind.remedy, aside=kind.reason)
            )
    for name, fault in FAULTS.items():
        for run in _runs(
            [scan for scan in ordered if known[scan].has(name)], places, fault.together
        ):
            seen = next(seen for kind, seen in known[run[0]].faults if kind == name)
            position, side = places[run[0]]
            where = f"{named(run[0])}, the {side} of card {position},"
            if len(run) > 1:
                where = (
                    f"{len(run)} scans of cards {position} to {places[run[-1]][0]}, "
                    f"{named(run[0])} the first,"
                )
            detail = f"{where} {fault.words}{f' ({seen})' if seen else ''}"
            split = fault.kind is FindingKind.SEVERAL
            found.append(
                Finding(
                    fault.kind, tuple(run), position, detail, fault.remedy, (), fault.reason, split
                )
            )
    return found


def _runs(
    scans: Sequence[str], places: dict[str, tuple[int, str]], together: bool
) -> list[list[str]]:
    """Scans of the same card or of neighbours as one run, where a fault is told `together`."""
    runs: list[list[str]] = []
    for scan in scans:
        if together and runs and places[scan][0] - places[runs[-1][-1]][0] <= 1:
            runs[-1].append(scan)
        else:
            runs.append([scan])
    return runs
