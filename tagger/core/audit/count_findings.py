"""What the names and the number of the scans tell alone, before any of them is looked at."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tagger.core.audit.findings import Finding, FindingKind
from tagger.core.feeding.numbering import gaps, name_beside
from tagger.core.model.side_order import SideOrder
from tagger.core.model.text import named

if TYPE_CHECKING:
    from tagger.core.audit.audited_lot import AuditedLot


def count_findings(lot: AuditedLot, expected: int | None) -> list[Finding]:
    """Odd numbers, sides missing, gaps in the numbering, and another number of cards than the
    `expected` one (None: not known)."""
    return [
        *_odd_number(lot),
        *_sides_missing(lot),
        *(_gap(lot, *gap) for gap in gaps(lot.scans)),
        *_other_number(lot, expected),
    ]


def _odd_number(lot: AuditedLot) -> list[Finding]:
    if lot.order is SideOrder.FRONT_ONLY or len(lot.places) % 2 == 0:
        return []
    # Where cards were made by hand, each that lacks a side accounts for one odd scan.
    if lot.arrangement.mending.held and len(lot.half_cards) % 2:
        return []
    # a group's own finding tells it where that is not at the end
    if lot.arrangement.mending.dividers and lot.half_cards[-1:] != [len(lot.pairs)]:
        return []
    detail = (
        f"{len(lot.places)} scans is an odd number: a side is missing, or there is one too many"
    )
    remedy = "Find where the pairs go wrong; scan the missing side, or skip the extra scan."
    return [Finding(FindingKind.ODD_NUMBER, (), max(1, len(lot.pairs)), detail, remedy)]


def _sides_missing(lot: AuditedLot) -> list[Finding]:
    """Cards that lack a side, where that is known: by the names, or by the dealer's own hand."""
    by_hand = lot.arrangement.mending.held and lot.order is not SideOrder.FRONT_ONLY
    if lot.order is not SideOrder.NAMED and not by_hand:
        return []
    return [_side_missing(lot, position) for position in lot.half_cards]


def _side_missing(lot: AuditedLot, position: int) -> Finding:
    pair = lot.pairs[position - 1]
    missing = "front" if pair.front is None else "back"
    there = pair.front or pair.back or ""
    return Finding(
        FindingKind.SIDE_MISSING,
        (there,),
        position,
        f"{named(there)} has no {missing}",
        _scan_it(lot, missing, there),
    )


def _scan_it(lot: AuditedLot, missing: str, there: str) -> str:
    """How to scan the missing side so that it joins the card of the one that is there."""
    if lot.order is SideOrder.NAMED:
        return f"Scan the {missing} under the same name; it is added to its card."
    behind = (missing == "back") != (lot.order is SideOrder.BACK_FIRST)
    # A name that sorts beside the other side is enough: it then fills the hole by itself.
    where = name_beside(lot.scans, there, behind)
    return (
        f"Scan the {missing} {where}; it is added to its card. Or type 'rescan {missing}' to use "
        "the newest scan."
    )


def _gap(lot: AuditedLot, before: str, after: str, many: int) -> Finding:
    # A scan that was left out stands at no card, and still says where numbers are missing.
    position = lot.places[after].position if after in lot.places else 1
    numbers = "numbers are" if many > 1 else "number is"
    detail = f"{many} {numbers} missing between {named(before)} and {named(after)}"
    remedy = (
        "Check whether scans were lost or saved elsewhere; move them into the folder and open "
        "the lot again."
    )
    return Finding(FindingKind.GAP, (before, after), position, detail, remedy)


def _other_number(lot: AuditedLot, expected: int | None) -> list[Finding]:
    if expected is None or expected == len(lot.pairs):
        return []
    detail = f"{len(lot.pairs)} cards, but {expected} expected"
    remedy = "Count the tray: a double feed leaves no other trace. Rescan the missing cards."
    return [Finding(FindingKind.EXPECTED, (), max(1, len(lot.pairs)), detail, remedy)]
