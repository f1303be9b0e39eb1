"""The findings of an audit, and the words for them."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from tagger.core.fixes.fix import Fix
from tagger.core.model.arrangement import Arrangement


class FindingKind(StrEnum):
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
    SEVERAL = "several cards"
    EXPECTED = "number of cards"


@dataclass(frozen=True)
class Finding:
    """One thing the dealer should look at: the scans' file names, the card (from 1), what was seen,
    what to do.

    What one key can do about it, if anything: `fixes`, one after the other; or set its cards
    `aside` for this reason; or `split` the sheet. `ask`: it may be something else, so it is never
    fixed unasked."""

    kind: FindingKind
    scans: tuple[str, ...]
    position: int
    detail: str
    remedy: str
    fixes: tuple[Fix, ...] = ()
    aside: str = ""
    split: bool = False
    ask: bool = False

    @property
    def key(self) -> str:
        """What tells it from all others, also when it is found again; scans that come later do not
        change it."""
        return f"{self.kind}: {self.scans[0] if self.scans else self.detail}"

    @property
    def by_key(self) -> bool:
        """Whether one key can do something about it."""
        return bool(self.fixes or self.aside or self.split)


def position_of(finding: Finding, arrangement: Arrangement) -> int:
    """The card (from 1) that a finding is about as the lot is now."""
    # Of two scans either may be the one that was left out meanwhile; of a run the first counts.
    asked = finding.scans if len(finding.scans) == 2 else finding.scans[:1]
    found = [arrangement.position_with(scan) for scan in asked]
    there = [position for position in found if position is not None]
    if there:
        return min(there)
    return min(max(1, finding.position), max(1, len(arrangement.pairs)))


@dataclass(frozen=True)
class FaultWords:
    """How a fault of one scan is told; `together`: once for a run of cards; `again`: the card waits
    for it."""

    kind: FindingKind
    words: str
    remedy: str
    together: bool = False
    again: bool = False

    @property
    def reason(self) -> str:
        """Why its card is set aside, empty where that is no remedy."""
        return f"scan again: {self.words}" if self.again else ""


AGAIN = "Scan this side again under the same file name; its card keeps its tags."
DAMAGE = {
    "gone": FaultWords(
        FindingKind.UNREADABLE,
        "is gone from the folder",
        "Put the file back under its name.",
        again=True,
    ),
    "empty": FaultWords(FindingKind.UNREADABLE, "is an empty file", AGAIN, again=True),
    "no picture": FaultWords(
        FindingKind.UNREADABLE, "is no picture that can be read", AGAIN, again=True
    ),
    "unreadable": FaultWords(FindingKind.UNREADABLE, "cannot be read", AGAIN, again=True),
    "truncated": FaultWords(FindingKind.TRUNCATED, "ends too early", AGAIN, again=True),
    "corrupt": FaultWords(FindingKind.CORRUPT, "is damaged inside", AGAIN, again=True),
}
_SLEEVE = "Scan it again with more of the bed around it, straight, and in the middle."
FAULTS = {
    "corrupt": FaultWords(FindingKind.CORRUPT, "is damaged inside", AGAIN, again=True),
    "no card": FaultWords(
        FindingKind.EMPTY_BED,
        "shows no card",
        "Scan this side again, or leave the scan out.",
        again=True,
    ),
    "blank": FaultWords(
        FindingKind.BLANK,
        "is blank",
        "Look at the card: where its side is plain nothing is wrong, else scan it again.",
    ),
    "nearly blank": FaultWords(
        FindingKind.NEARLY_BLANK,
        "is nearly blank",
        "Look at the card: where its side is plain nothing is wrong.",
    ),
    "cut": FaultWords(FindingKind.CUT, "is cut off by the scan's edge", _SLEEVE, again=True),
    "no margin": FaultWords(
        FindingKind.NO_MARGIN,
        "shows no bed beside the card, so corners and edges are not seen",
        _SLEEVE,
        True,
    ),
    "several cards": FaultWords(
        FindingKind.SEVERAL,
        "shows several cards",
        "Split it: each card gets its part of the sheet, with its own back.",
    ),
    "too few dots per inch": FaultWords(
        FindingKind.FEW_DOTS,
        "can hardly be read",
        "Scan at 300 dots per inch or more, under the same file names.",
        True,
    ),
    "odd size": FaultWords(
        FindingKind.ODD_SIZE,
        "is not of the usual size, 63.5 x 88.9 mm",
        "Look whether two cards went through together or the feeder stretched it; a card of "
        "another size is no fault.",
    ),
}
