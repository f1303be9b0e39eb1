"""Scans that are other files than when their cards were tagged, told at the end of a command."""

from __future__ import annotations

import os
from collections.abc import Sequence
from typing import TYPE_CHECKING

from tagger.core.lot.scan_stamps import asked_cards, replaced_words
from tagger.services.scans.scan_check import check_scans
from tagger.store.lot.troubles import note_replaced

if TYPE_CHECKING:
    from tagger.core.lot.lot import LotState
    from tagger.store.machine.paths import LotPlace


def replaced_cards(place: LotPlace, lot: LotState) -> list[int]:
    """The positions of the cards whose scans are other files than when they were tagged; none of a
    folder that is not there."""
    if not os.path.isdir(place.folder):
        return []
    # names are what a card could follow, and whoever only reads the tags follows none
    return asked_cards(lot, check_scans(place.folder, lot, ()).changed)


def note_scans(place: LotPlace, lot: LotState) -> None:
    """Have it told at the end of the command where scans of a lot are other files than when their
    cards were tagged. Nothing is asked of a folder that is not there."""
    if os.path.isdir(place.folder):
        note_asked(place, replaced_cards(place, lot))


def note_asked(place: LotPlace, asked: Sequence[int]) -> None:
    """Have it told at the end of the command that scans of these cards, by their positions, were
    replaced."""
    words = replaced_words(asked)
    note_replaced(
        place.home, f"{words}; tagger audit FOLDER asks whether the tags stay" if words else ""
    )
