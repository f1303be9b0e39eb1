"""What was found in a lot, of `tagger audit`: as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from tagger.core.audit.findings import Finding, FindingKind
from tagger.core.model.counted import counted

if TYPE_CHECKING:
    from tagger.core.audit.audited_lot import AuditedLot

# What scripts know a kind by. The words for it may change; a code never does.
CODES = {
    FindingKind.ODD_NUMBER: "odd_scan_count",
    FindingKind.GAP: "numbering_gap",
    FindingKind.DOUBLED: "duplicate_scan",
    FindingKind.UNREADABLE: "unreadable",
    FindingKind.TRUNCATED: "truncated",
    FindingKind.CORRUPT: "corrupt",
    FindingKind.EMPTY_BED: "no_card",
    FindingKind.BLANK: "blank",
    FindingKind.NEARLY_BLANK: "nearly_blank",
    FindingKind.SIDE_MISSING: "missing_side",
    FindingKind.SWAPPED: "swapped_sides",
    FindingKind.SLIPPED: "shifted_pairs",
    FindingKind.NOT_TOGETHER: "mismatched_sides",
    FindingKind.UPSIDE_DOWN: "upside_down",
    FindingKind.SIDEWAYS: "sideways",
    FindingKind.CUT: "cut_off",
    FindingKind.NO_MARGIN: "no_margin",
    FindingKind.FEW_DOTS: "low_resolution",
    FindingKind.ODD_SIZE: "odd_size",
    FindingKind.LOT_SIZE: "lot_size",
    FindingKind.HOLDERS: "holders",
    FindingKind.SEVERAL: "several_cards",
    FindingKind.EXPECTED: "card_count",
    FindingKind.REPLACED: "replaced_scan",
    FindingKind.OTHER_YEAR: "year_of_another_set",
    FindingKind.FRAME: "frame_colour",
    FindingKind.DIVIDER: "divider",
    FindingKind.DIVIDER_SIDE: "divider_side",
    FindingKind.DIVIDER_UNREAD: "divider_not_read",
    FindingKind.DIVIDER_TWICE: "dividers_in_a_row",
    FindingKind.DIVIDER_ASIDE: "set_aside_from_here",
    FindingKind.DIVIDER_UNLISTED: "divider_not_listed",
}


def as_json(lot: AuditedLot, findings: Sequence[Finding]) -> dict[str, object]:
    """The document of --json."""
    return {
        "scans": len(lot.scans),
        "cards": len(lot.pairs),
        "findings": [_document(finding) for finding in findings],
    }


def _document(finding: Finding) -> dict[str, object]:
    other = finding.other
    return {
        "kind": CODES[finding.kind],
        "problem": str(finding.kind),
        "scans": list(finding.scans),
        "position": finding.position,
        "detail": finding.detail,
        "remedy": finding.remedy,
        "certain": finding.certain,
        "other_reading": None
        if other is None
        else {"detail": other.detail, "remedy": other.remedy},
    }


def as_text(name: str, lot: AuditedLot, findings: Sequence[Finding]) -> Iterator[str]:
    """The findings by number, each with what to do; `name` is the lot's."""
    yield (
        f"{name}: {counted(len(lot.pairs), 'card')} from {counted(len(lot.scans), 'scan')}, "
        f"{_count(len(findings))}"
    )
    # By these numbers `--finding N` takes them up.
    for number, finding in enumerate(findings, start=1):
        said = f": {finding.detail}" if not finding.ask else f" {finding.sentence}"
        yield f"  {number}. card {finding.position}, {finding.title}{said}."
        yield f"     {finding.remedy}"
        if finding.other is not None:
            yield f"     Or: {finding.other.remedy}"
    if any(finding.by_key for finding in findings):
        yield "To fix one: tagger fix FOLDER --finding N, or F12 in the open lot."
    if any(finding.other for finding in findings):
        yield "To fix the other reading of one: tagger fix FOLDER --finding N --other."


def _count(findings: int) -> str:
    if not findings:
        return "no problems found"
    return counted(findings, "problem")
