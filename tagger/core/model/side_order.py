"""In which order the sides of the cards were fed."""

from __future__ import annotations

from enum import StrEnum


class SideOrder(StrEnum):
    """Which scan shows which side of which card."""

    # The texts are kept in journals and typed in commands: they must not change.
    ALTERNATE = "front, back"
    BACK_FIRST = "back, front"
    FRONT_ONLY = "fronts only"
    NAMED = "by name"
    FRONTS_THEN_BACKS = "all fronts, then all backs"
    FRONTS_THEN_BACKS_REVERSED = "all fronts, then all backs in reverse"
