"""The findings of an audit, and the words for them."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from tagger.core.text import printable


class Kind(StrEnum):
    """What a finding is about."""

    ODD_NUMBER = "odd number of scans"
    GAP = "gap in the numbering"
    DOUBLED = "scan doubled"
    UNREADABLE = "unreadable"
    TRUNCATED = "truncated"
    CORRUPT = "corrupt"
    EMPTY_BED = "no card"
    BLANK = "blank"
    NEARLY_BLANK = "nearly blank"
    SIDE_MISSING = "side missing"
    SWAPPED = "sides swapped"
    SLIPPED = "order slipped"
    NOT_TOGETHER = "sides do not belong together"
    UPSIDE_DOWN = "upside down"
    SIDEWAYS = "sideways"
    CUT = "cut"
    NO_MARGIN = "no margin"
    FEW_DOTS = "too few dots per inch"
    ODD_SIZE = "odd size"
    EXPECTED = "number of cards"


@dataclass(frozen=True)
class Finding:
    """One thing the dealer should look at: the scans' file names, the card (from 1), what was seen, what to do."""

    kind: Kind
    scans: tuple[str, ...]
    position: int
    detail: str
    remedy: str


@dataclass(frozen=True)
class Fault:
    """How a fault of one scan is told; `together`: once for a run of cards."""

    kind: Kind
    words: str
    remedy: str
    together: bool = False


AGAIN = "Scan this side again under the same file name; its card keeps its tags."
DAMAGE = {
    "gone": Fault(Kind.UNREADABLE, "is gone from the folder", "Put the file back under its name."),
    "empty": Fault(Kind.UNREADABLE, "is an empty file", AGAIN),
    "no picture": Fault(Kind.UNREADABLE, "is no picture that can be read", AGAIN),
    "unreadable": Fault(Kind.UNREADABLE, "cannot be read", AGAIN),
    "truncated": Fault(Kind.TRUNCATED, "ends too early", AGAIN),
    "corrupt": Fault(Kind.CORRUPT, "is damaged inside", AGAIN),
}
_SLEEVE = "Scan it again with more of the bed around it, straight, and in the middle."
FAULTS = {
    "corrupt": Fault(Kind.CORRUPT, "is damaged inside", AGAIN),
    "no card": Fault(Kind.EMPTY_BED, "shows no card", "Scan this side again, or take the scan out of the folder."),
    "blank": Fault(
        Kind.BLANK, "is blank", "Look at the card: where its side is plain nothing is wrong, else scan it again."
    ),
    "nearly blank": Fault(
        Kind.NEARLY_BLANK, "is nearly blank", "Look at the card: where its side is plain nothing is wrong."
    ),
    "cut": Fault(Kind.CUT, "is cut off by the scan's edge", _SLEEVE),
    "no margin": Fault(
        Kind.NO_MARGIN, "shows no bed beside the card, so corners and edges are not seen", _SLEEVE, True
    ),
    "too few dots per inch": Fault(
        Kind.FEW_DOTS, "can hardly be read", "Scan at 300 dots per inch or more, under the same file names.", True
    ),
    "odd size": Fault(
        Kind.ODD_SIZE,
        "is not of the usual size, 63.5 x 88.9 mm",
        "Look whether two cards went through together or the feeder stretched it; a card of another size is no fault.",
    ),
}


def named(scan: str) -> str:
    """A scan's name for a sentence."""
    return printable(scan, 80)
