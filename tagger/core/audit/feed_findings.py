"""Findings from how a lot was fed: slips and swapped sides, each with what it could be instead."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby, pairwise
from typing import TYPE_CHECKING

from tagger.core.audit.findings import Finding, FindingKind, OtherReading
from tagger.core.audit.slips import Doubt, Reading, Slip, SlipKind
from tagger.core.feeding.numbering import name_beside
from tagger.core.feeding.sequence import ALTERNATING
from tagger.core.fixes.feeding import InsertGap, SkipScan, SwapSides
from tagger.core.model.text import named

if TYPE_CHECKING:
    from tagger.core.audit.feed_report import Feeding
    from tagger.core.fixes.fix import Fix

# What a reading must reach before it is done unasked. A swapped card looks like a front that is
# missing before it and a back behind, which is 1 in 50 of the two: so looks alone do not reach it,
# but with a count, a number or a time that speaks for them.
SURE = 0.985
SAID = 0.02  # what another reading must reach before it is shown beside the first


def feeding_findings(feeding: Feeding) -> list[Finding]:
    """Missing sides, scans too many, swapped pairs; a question where it may be something else."""
    found: list[Finding] = []
    for doubt in feeding.reading.doubts:
        # Only in turn does one scan too many move the others: read otherwise, a pair is just wrong.
        if feeding.order in ALTERNATING:
            found.append(_finding(feeding, doubt))
        else:
            found += _pair_by_pair(feeding, doubt)
    return found


def _pair_by_pair(feeding: Feeding, doubt: Doubt) -> Iterator[Finding]:
    first = doubt.readings[0]
    for slip in first.slips:
        if slip.kind is SlipKind.SWAPPED:
            alone = Doubt((Reading((slip,), first.share),), doubt.nothing)
            yield _finding(feeding, alone)
        else:
            yield _not_together(feeding, slip)


def _not_together(feeding: Feeding, slip: Slip) -> Finding:
    first = slip.scan - slip.scan % 2  # of the card that the scan is on
    position = feeding.position(feeding.scans[slip.scan])
    return Finding(
        FindingKind.NOT_TOGETHER,
        tuple(feeding.scans[first : first + 2]),
        position,
        f"front and back of card {position} are not of the same card; check whether a new set "
        "begins here instead",
        "Check both sides. F8 changes the side order; 'drop', 'missing' or 'swap' fixes a single "
        "card.",
        ask=True,
    )


def _finding(feeding: Feeding, doubt: Doubt) -> Finding:
    first, *others = doubt.readings
    other = next((one for one in others if one.share >= SAID), None)
    ask = _asks(first)
    slip = first.slips[0]
    kind = FindingKind.SLIPPED
    if all(one.kind is SlipKind.SWAPPED for one in first.slips):
        kind = FindingKind.SWAPPED
    return Finding(
        kind,
        _shown(feeding, slip),
        feeding.position(feeding.scans[slip.scan]),
        f"{_told(feeding, first)}{_doubted(feeding, first, other) * ask}",
        _remedy(feeding, first),
        _fixes(feeding, first),
        ask=ask,
        other=_other(feeding, other) if other is not None and ask else None,
    )


def _asks(reading: Reading) -> bool:
    """Whether the dealer must look before anything is done."""
    # Of a scan too many the next card may be a double. Two swapped cards beside each other look
    # like a side that is missing before them and one behind.
    swaps = [slip.scan for slip in reading.slips if slip.kind is SlipKind.SWAPPED]
    beside = any(after - before <= 2 for before, after in pairwise(swaps))
    twice = any(slip.kind is SlipKind.EXTRA_SCAN for slip in reading.slips)
    return reading.share < SURE or beside or twice


def _shown(feeding: Feeding, slip: Slip) -> tuple[str, ...]:
    """The scans that a slip is looked at by."""
    scan = slip.scan
    match slip.kind:
        case SlipKind.SWAPPED:
            return tuple(feeding.scans[scan : scan + 2])
        case SlipKind.EXTRA_SCAN:
            # The one before it is shown with it, which it may be a second time.
            return tuple(feeding.scans[max(0, scan - 1) : scan + 1])
    return (feeding.scans[scan],)


def _other(feeding: Feeding, reading: Reading) -> OtherReading:
    return OtherReading(
        _words(feeding, reading), _remedy(feeding, reading), _fixes(feeding, reading)
    )


def _doubted(feeding: Feeding, first: Reading, other: Reading | None) -> str:
    """How likely a reading is, and what it could be instead."""
    likely = f" ({_per_cent(first)})"
    if other is None:
        return f"{likely}; check whether a new set or a duplicate card begins here instead"
    return f"{likely}; or {_words(feeding, other)} ({_per_cent(other)})"


def _per_cent(reading: Reading) -> str:
    # Never a round 100: it is asked because it is not certain.
    return f"{min(99, max(1, round(100 * reading.share)))}%"


def _told(feeding: Feeding, reading: Reading) -> str:
    """What was seen, and what it does to the pairs behind."""
    words = _words(feeding, reading)
    if reading.change == 0 or len(reading.slips) > 1:
        return words
    slip = reading.slips[0]
    if slip.kind is SlipKind.EXTRA_SCAN:
        return f"{words}, so every pair after it is off by one"
    position = feeding.position(feeding.scans[slip.scan])
    return f"{words}, so every pair from card {position} on is off by one"


def _words(feeding: Feeding, reading: Reading) -> str:
    """A reading in words: `front and back of card 12 are swapped`."""
    parts = []
    for kind, slips in groupby(reading.slips, key=lambda slip: slip.kind):
        parts += _kind_words(feeding, kind, list(slips))
    return " and ".join(parts)


def _kind_words(feeding: Feeding, kind: SlipKind, slips: Sequence[Slip]) -> list[str]:
    if kind is SlipKind.SWAPPED:
        cards = [feeding.position(feeding.scans[slip.scan]) for slip in slips]
        where = f"card {cards[0]}" if len(cards) == 1 else f"cards {_listed(cards)}"
        return [f"front and back of {where} are swapped"]
    if kind is SlipKind.EXTRA_SCAN:
        return [f"{named(feeding.scans[slip.scan])} is one scan too many" for slip in slips]
    missing = _missing(feeding, kind)
    return [f"{named(feeding.scans[slip.scan])} has no {missing}" for slip in slips]


def _listed(numbers: Sequence[int]) -> str:
    *most, last = map(str, numbers)
    return f"{', '.join(most)} and {last}"


def _missing(feeding: Feeding, kind: SlipKind) -> str:
    """The side that a scan lacks."""
    return "back" if (kind is SlipKind.SECOND_MISSING) is feeding.front_first else "front"


def _fixes(feeding: Feeding, reading: Reading) -> tuple[Fix, ...]:
    return tuple(_fix(feeding, slip) for slip in reading.slips)


def _fix(feeding: Feeding, slip: Slip) -> Fix:
    scan = feeding.scans[slip.scan]
    match slip.kind:
        case SlipKind.SWAPPED:
            return SwapSides(scan, feeding.scans[slip.scan + 1])
        case SlipKind.EXTRA_SCAN:
            return SkipScan(scan)
    return InsertGap(scan, _missing(feeding, slip.kind))


def _remedy(feeding: Feeding, reading: Reading) -> str:
    """What to do about it; one sentence a kind of slip."""
    done: dict[str, None] = {}
    for slip in reading.slips:
        done[_deed(feeding, slip, alone=len(reading.slips) == 1)] = None
    return " ".join(done)


def _deed(feeding: Feeding, slip: Slip, alone: bool) -> str:
    scan = feeding.scans[slip.scan]
    match slip.kind:
        case SlipKind.SWAPPED:
            return "Swap front and back."
        case SlipKind.EXTRA_SCAN:
            return f"Skip {named(scan)} if it shows that side a second time; later scans move up."
    missing = _missing(feeding, slip.kind)
    if not alone:
        return f"Insert an empty {missing} beside {named(scan)}."
    behind = slip.kind is SlipKind.SECOND_MISSING
    where = name_beside(feeding.scans, scan, behind)
    return (
        f"Insert an empty {missing} here; later scans shift by one. Rescan it {where} and it is "
        "added by itself."
    )
