"""What each step costs that makes a block of the panel smaller: the cheapest is taken first."""

from __future__ import annotations

from collections.abc import Sequence
from enum import IntEnum

from rich.text import Text

from tagger.ui.fit import ALWAYS, Part

Lines = Sequence[Text]
Block = Part[Lines]


class Cost(IntEnum):
    """In their order: what the dealer set or sees elsewhere goes first, what Enter does last."""

    CARRIED_WRAPPED = 1
    CARRIED_LINES = 2
    GAP = 3
    CARRIED_GAP = 4
    OTHERS = 5
    TEAM = 6
    CARRIED_PAIRS = 7
    WRAPPED = 8
    FIGURES = 9  # the large figures say once more what the name's line says
    NEXT = 10  # what ↓ goes on to
    CARRIED = 11
    NOTE = 20
    PLACE = 21
    SET = 22


def always(lines: Lines) -> Block:
    """Lines that stand there whatever else goes."""
    return Part((lines,), ALWAYS)
