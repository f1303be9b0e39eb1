"""How far a lot is, of `tagger status`: as text and as JSON."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from datetime import datetime
from typing import TYPE_CHECKING

from tagger.core.model.counted import counted
from tagger.core.model.trade import IN_STOCK, LISTED, PULLED, RESERVED, SOLD, STATES

if TYPE_CHECKING:
    from tagger.core.lot.lot import LotState
    from tagger.core.lot.sitting import Sitting

SHOWN = 5  # sittings in the text


def as_json(name: str, lot: LotState, scans: int, read: int) -> dict[str, object]:
    """The document of --json; `scans` are those of the folder, `read` the cards of which
    the print was read."""
    counts = lot.counts()
    return {
        "lot": name,
        "cards": counts.cards,
        "tagged": counts.tagged,
        "set_aside": counts.set_aside,
        "untagged": counts.untagged,
        "stock": stock_counts(lot),
        "read": read,
        "position": _position(lot),
        "scans": scans,
        "checklists": list(lot.checklists),
        "sittings": [_document(sitting) for sitting in _sittings(lot)],
    }


def _document(sitting: Sitting) -> dict[str, object]:
    return {
        "date": _date(sitting),
        "cards": sitting.cards,
        "minutes": sitting.minutes,
        "keys": sitting.keys,
    }


def as_text(name: str, lot: LotState, scans: int, read: int) -> Iterator[str]:
    """The counts, the checklists, the latest sittings."""
    counts = lot.counts()
    yield f"{name}: {counted(counts.cards, 'card')} from {counted(scans, 'scan')}"
    yield f"  {counts.tagged} tagged, {counts.set_aside} set aside, {counts.untagged} untagged"
    yield from _stock(lot)
    if read:
        yield f"  print read on {read} of {counted(counts.cards, 'card')}"
    yield f"  {_next(lot)}"
    for path in lot.checklists:
        yield f"  checklist {path}"
    sittings = _sittings(lot)
    if len(sittings) > SHOWN:
        yield f"  {counted(len(sittings) - SHOWN, 'earlier sitting')}; --json lists all"
    for sitting in sittings[-SHOWN:]:
        # Without the offset: the clock is the dealer's own.
        yield f"  sitting of {_date(sitting).replace('T', ' ')[:16]}: {sitting.told()}"


def stock_counts(lot: LotState) -> dict[str, int]:
    """How many cards are in stock, listed and so on; one that left counts, also if it was set
    aside."""
    found = Counter(lot.mark(pair.id).stock for pair in lot.arrangement.pairs)
    return {state: found[state] for state in STATES}


def _stock(lot: LotState) -> Iterator[str]:
    """Where the cards are by now, nothing where all are plainly in stock."""
    counts = stock_counts(lot)
    offered, gone = _said(counts, (LISTED, RESERVED)), _said(counts, (SOLD, PULLED))
    if not (offered or gone):
        return
    # as every count has it: a card that is listed or reserved is there as well
    there = f"{sum(counts[state] for state in (IN_STOCK, LISTED, RESERVED)):,} in stock"
    if offered:
        there += f" ({', '.join(offered)})"
    yield f"  of these: {', '.join((there, *gone))}"


def _said(counts: Mapping[str, int], states: Iterable[str]) -> list[str]:
    return [f"{counts[state]:,} {state}" for state in states if counts[state]]


def _next(lot: LotState) -> str:
    """Where the desk goes on, or that nothing is left to be tagged there."""
    if lot.cards and not lot.counts().untagged:
        return "no card is left untagged"
    return f"next: card {_position(lot)}"


def _position(lot: LotState) -> int:
    # Behind the last card stands the desk when all are done; a lot without cards is at the first.
    return min(lot.cursor.position, max(1, lot.cards))


def _sittings(lot: LotState) -> list[Sitting]:
    return [sitting for sitting in lot.sittings if sitting.worth_telling]


def _date(sitting: Sitting) -> str:
    """When it began, in local time, as ISO 8601 has it: `2026-03-08T09:41+01:00`."""
    return datetime.fromtimestamp(sitting.at).astimezone().isoformat(timespec="minutes")
