"""Questions about cards whose frame has another colour than those around them: often another
parallel, and never more than a question."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from tagger.core.audit.findings import Finding, FindingKind
from tagger.core.audit.frames.frame_colours import frame_colour, unlike_runs

if TYPE_CHECKING:
    from tagger.core.audit.measured import Measured
    from tagger.core.lot.view import LotView
    from tagger.core.model.arrangement import Pair


_SLIPS = (FindingKind.SLIPPED, FindingKind.SIDE_MISSING, FindingKind.NOT_TOGETHER)


def frame_findings(
    pairs: Sequence[Pair], known: Mapping[str, Measured], others: Sequence[Finding]
) -> list[Finding]:
    """One question for each card, or for cards in a row that are alike. `known` has what was
    measured on each scan, as it is seen; `others` is what else was found."""
    # Behind a slip the fronts are backs: first that is put right.
    if any(one.kind in _SLIPS for one in others):
        return []
    told = {scan for one in others for scan in one.scans}
    fronts = [known.get(pair.front or "") for pair in pairs]
    # A part of the bed in it would be a frame of its own.
    colours = [
        frame_colour(front.fields) if front is not None and front.corners is not None else None
        for front in fronts
    ]
    found = [_question(pairs, first, last) for first, last in unlike_runs(colours)]
    return [one for one in found if not told & set(one.scans)]


def _question(pairs: Sequence[Pair], first: int, last: int) -> Finding:
    scans = tuple(pair.front for pair in pairs[first : last + 1] if pair.front is not None)
    detail = f"the frame of card {first + 1} has another colour than those of the cards around it"
    if first != last:
        detail = (
            f"the frames of cards {first + 1} to {last + 1} have another colour than those of the "
            "cards around them"
        )
    remedy = "Which parallel is it? Check the card itself: a scan changes colours."
    return Finding(FindingKind.FRAME, scans, first + 1, detail, remedy, ask=True)


def without_answered(lot: LotView, findings: Sequence[Finding]) -> list[Finding]:
    """The findings without questions about frames whose cards all have a parallel by now."""
    return [one for one in findings if not is_answered(lot, one)]


def fronts_asked(findings: Sequence[Finding]) -> frozenset[str]:
    """The fronts that are asked about for their frames."""
    return frozenset(
        scan for one in findings if one.kind is FindingKind.FRAME for scan in one.scans
    )


def is_answered(lot: LotView, finding: Finding) -> bool:
    """Whether a finding is a question about frames whose cards all have a parallel by now."""
    if finding.kind is not FindingKind.FRAME:
        return False
    found = (lot.arrangement.position_with(scan) for scan in finding.scans)
    return all(lot.card_at(position).mark.tags.parallel for position in found if position)
