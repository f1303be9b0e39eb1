"""What was found in a lot, of `tagger audit`: as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tagger.core.audit.audited_lot import AuditedLot
from tagger.core.audit.findings import Finding
from tagger.core.model.counted import counted


def as_json(lot: AuditedLot, findings: Sequence[Finding]) -> dict[str, object]:
    """The document of --json."""
    return {
        "scans": len(lot.scans),
        "cards": len(lot.pairs),
        "findings": [_document(finding) for finding in findings],
    }


def _document(finding: Finding) -> dict[str, object]:
    return {
        "kind": finding.kind,
        "scans": list(finding.scans),
        "position": finding.position,
        "detail": finding.detail,
        "remedy": finding.remedy,
    }


def as_text(name: str, lot: AuditedLot, findings: Sequence[Finding]) -> Iterator[str]:
    """The findings by number, each with what to do; `name` is the lot's."""
    yield f"{name}: {len(lot.pairs)} cards from {len(lot.scans)} scans, {_count(len(findings))}"
    # By these numbers `--finding N` takes them up.
    for number, finding in enumerate(findings, start=1):
        yield f"  {number}. card {finding.position}, {finding.kind}: {finding.detail}."
        yield f"     {finding.remedy}"
    if any(finding.by_key for finding in findings):
        yield (
            "tagger mend FOLDER --finding N mends one of these, where a key can do it; F12 in the "
            "open lot as well."
        )


def _count(findings: int) -> str:
    if not findings:
        return "nothing found wrong"
    return counted(findings, "finding")
