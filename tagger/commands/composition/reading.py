"""What reads the print of a lot's cards for its desk, where that is installed."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tagger.store.machine.paths import LotPlace
    from tagger.ui.desk.reading_client import ReadingAhead


def readings_of(place: LotPlace) -> ReadingAhead | None:
    """Reads the cards of this lot ahead of the dealer; None where the extra is not installed."""
    return None
