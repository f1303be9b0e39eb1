"""What was read of a lot, of `tagger read`: as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from tagger.core.model.counted import counted

if TYPE_CHECKING:
    from tagger.services.reading.lot_reading import CardRead, LotRead

SAID = {True: "sure", False: "likely"}


def as_text(read: LotRead) -> Iterator[str]:
    """The counts, and what to do next."""
    sure, likely, silent = read.counts()
    yield f"{read.name}: {counted(len(read.cards), 'untagged card')} read"
    yield f"  {sure} sure, {likely} likely, {silent} not recognized"
    if read.lost:
        yield f"  {counted(read.lost, 'card')} could not be read (out of memory?)"


def as_json(read: LotRead) -> dict[str, Any]:
    """The document of --json."""
    sure, likely, silent = read.counts()
    return {
        "lot": read.name,
        "sure": sure,
        "likely": likely,
        "not_recognized": silent,
        "not_read": read.lost,
        "cards": [_document(card) for card in read.cards],
    }


def _document(card: CardRead) -> dict[str, Any]:
    row = card.row
    return {
        "position": card.position,
        "front": card.pair.front,
        "back": card.pair.back,
        "reading": "none" if row is None else SAID[card.sure],
        "set": None if row is None else row.set,
        "number": None if row is None else row.number,
        "subject": None if row is None else row.subject,
    }
