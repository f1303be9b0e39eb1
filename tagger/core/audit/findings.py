"""The findings of an audit, and the words for them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING

from tagger.core.model.text import named

if TYPE_CHECKING:
    from tagger.core.fixes.fix import Fix
    from tagger.core.model.arrangement import Arrangement


class FindingKind(StrEnum):
    """What a finding is about."""

    ODD_NUMBER = "odd number of scans"
    GAP = "gap in the numbering"
    DOUBLED = "same file twice"
    UNREADABLE = "unreadable"
    TRUNCATED = "truncated"
    CORRUPT = "corrupt"
    EMPTY_BED = "no card"
    BLANK = "blank"
    NEARLY_BLANK = "nearly blank"
    SIDE_MISSING = "side missing"
    SWAPPED = "sides swapped"
    SLIPPED = "pairs off by one"
    NOT_TOGETHER = "sides of different cards"
    UPSIDE_DOWN = "upside down"
    SIDEWAYS = "sideways"
    CUT = "cut off"
    NO_MARGIN = "no margin"
    FEW_DOTS = "low resolution"
    ODD_SIZE = "odd size"
    LOT_SIZE = "size of the cards"
    HOLDERS = "sleeves or cases"
    SEVERAL = "several cards"
    EXPECTED = "number of cards"
    REPLACED = "scan replaced"
    OTHER_YEAR = "year of another set"
    FRAME = "another frame"
    DIVIDER = "divider"
    DIVIDER_SIDE = "one side of a divider"
    DIVIDER_UNREAD = "divider not read"
    DIVIDER_TWICE = "dividers in a row"
    DIVIDER_ASIDE = "set aside from here"
    DIVIDER_UNLISTED = "divider not in the lists"


@dataclass(frozen=True)
class OtherReading:
    """What a question may be instead, in words, and what is to be done then."""

    detail: str
    remedy: str
    fixes: tuple[Fix, ...]


@dataclass(frozen=True)
class Finding:
    """One thing the dealer should look at: the scans' file names, the card (from 1), what was seen,
    what to do.

    What one key can do about it, if anything: `fixes`, one after the other; or set its cards
    `aside` for this reason; or `split` the sheet; or, of a scan that was `replaced`, say that it is
    another card. `ask`: it may be something else, so it is never fixed unasked; `other` is what it
    may be instead, where that can be told."""

    kind: FindingKind
    scans: tuple[str, ...]
    position: int
    detail: str
    remedy: str
    fixes: tuple[Fix, ...] = ()
    aside: str = ""
    split: bool = False
    ask: bool = False
    replaced: bool = False
    other: OtherReading | None = None

    @property
    def key(self) -> str:
        """What tells it from all others, also when it is found again; scans that come later do not
        change it."""
        # Lots keep it, for what was accepted: so it has the kind's name and not its words, which
        # may be put better one day.
        return f"{self.kind.name.lower()}: {self.scans[0] if self.scans else self.detail}"

    @property
    def title(self) -> str:
        """What it is about, as a question where it may be something else."""
        return f"{self.kind}?" if self.ask else str(self.kind)

    @property
    def sentence(self) -> str:
        """What was seen, beginning with a capital letter unless it begins with the name of a scan;
        without its full stop."""
        if any(self.detail.startswith(named(scan)) for scan in self.scans):
            return self.detail
        return f"{self.detail[0].upper()}{self.detail[1:]}"

    def as_other(self) -> Finding:
        """The same question, with what it may be instead in front. Raises ValueError where that
        cannot be told."""
        if self.other is None:
            raise ValueError("nothing else is known that it may be")
        other = self.other
        return replace(
            self, detail=other.detail, remedy=other.remedy, fixes=other.fixes, other=None
        )

    @property
    def certain(self) -> bool:
        """Whether its fixes may be done without anybody's looking."""
        # A question has several answers, or none that a command could give: the dealer looks.
        return bool(self.fixes) and not self.ask

    @property
    def by_key(self) -> bool:
        """Whether one key can do something about it."""
        return bool(self.fixes or self.aside or self.split or self.replaced)


def position_of(finding: Finding, arrangement: Arrangement) -> int:
    """The card (from 1) that a finding is about as the lot is now."""
    # Positions of the last audit are stale once a fix before it has moved cards; scans are not.
    # Of two scans either may be the one that was left out meanwhile; of a run the first counts.
    asked = finding.scans if len(finding.scans) == 2 else finding.scans[:1]
    found = [arrangement.position_with(scan) for scan in asked]
    there = [position for position in found if position is not None]
    if there:
        return min(there)
    return min(max(1, finding.position), max(1, len(arrangement.pairs)))


@dataclass(frozen=True)
class FaultWords:
    """How a fault of one scan is told; `several`: how it is told once for a run of cards, empty
    where each is told by itself; `again`: the card waits for it."""

    kind: FindingKind
    words: str
    remedy: str
    several: str = ""
    again: bool = False

    @property
    def reason(self) -> str:
        """Why its card is set aside, empty where that is no remedy."""
        return f"rescan: {self.words.removeprefix('is ')}" if self.again else ""


AGAIN = "Rescan this side under the same file name; the card keeps its tags."
DAMAGE = {
    "gone": FaultWords(
        FindingKind.UNREADABLE,
        "is missing from the folder",
        "Restore the file under its name.",
        again=True,
    ),
    "empty": FaultWords(FindingKind.UNREADABLE, "is an empty file", AGAIN, again=True),
    "no picture": FaultWords(FindingKind.UNREADABLE, "is not a readable image", AGAIN, again=True),
    "unreadable": FaultWords(FindingKind.UNREADABLE, "cannot be read", AGAIN, again=True),
    "truncated": FaultWords(FindingKind.TRUNCATED, "is cut short", AGAIN, again=True),
    "corrupt": FaultWords(FindingKind.CORRUPT, "is damaged", AGAIN, again=True),
}
_SLEEVE = "Rescan it straight and in the middle, with more margin around it."
FAULTS = {
    # Seen in the pixels of a file that is whole by its bytes; of one that is not, DAMAGE tells.
    "corrupt": FaultWords(FindingKind.CORRUPT, "is damaged", AGAIN, again=True),
    "no card": FaultWords(
        FindingKind.EMPTY_BED,
        "shows no card",
        "Rescan this side, or skip the scan.",
        again=True,
    ),
    "blank": FaultWords(
        FindingKind.BLANK,
        "is blank",
        "Check the card: if that side really is blank, ignore this; otherwise rescan it.",
    ),
    "nearly blank": FaultWords(
        FindingKind.NEARLY_BLANK,
        "is nearly blank",
        "Check the card: if that side really is this plain, ignore this.",
    ),
    "cut": FaultWords(FindingKind.CUT, "is cut off by the scan's edge", _SLEEVE, again=True),
    "no margin": FaultWords(
        FindingKind.NO_MARGIN,
        "has no margin, so corners and edges cannot be seen",
        _SLEEVE,
        "have no margin, so corners and edges cannot be seen",
    ),
    "several cards": FaultWords(
        FindingKind.SEVERAL,
        "shows several cards",
        "Split the sheet: each card gets its part, front and back.",
    ),
    "too few dots per inch": FaultWords(
        FindingKind.FEW_DOTS,
        "is hard to read",
        "Rescan at 300 dots per inch or more, under the same file names.",
        "are hard to read",
    ),
    "odd size": FaultWords(
        FindingKind.ODD_SIZE,
        "is larger than the cards of this lot",
        "Check whether two cards went through together or the feeder stretched the scan. If the "
        "card has this size, ignore this.",
    ),
}
