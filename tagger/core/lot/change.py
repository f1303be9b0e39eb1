"""What happens to a lot: changes, which can be undone, and what is only noted."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.lot.carried import Cursor
from tagger.core.lot.sitting import Sitting

if TYPE_CHECKING:
    from tagger.core.model.arrangement import Arrangement
    from tagger.core.model.scan_ref import StampChange, Stamped
    from tagger.core.model.tags import Mark, Marking
    from tagger.core.model.trade import Purchase


class Effect(NamedTuple):
    """What becomes of a lot: where the dealer stands, new marks by the cards' identities, a new
    arrangement if there is one, and what the scans of its cards are now known to be."""

    cursor: Cursor
    marks: tuple[tuple[int, Mark], ...] = ()
    arrangement: Arrangement | None = None
    stamps: Stamped = ()


@dataclass(frozen=True, slots=True)
class FolderRead:
    """The folder was read: the arrangement that follows from its scans, and the next free
    identity."""

    arrangement: Arrangement
    next_id: int


@dataclass(frozen=True, slots=True)
class ChecklistsKnown:
    """The checklist files that belong to the lot from now on."""

    paths: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LotNamed:
    """The name that the dealer gave the lot, from now on."""

    name: str


@dataclass(frozen=True, slots=True)
class StockBegun:
    """The lot's part of its cards' stock numbers from now on (see `stock_number`). Tagged cards
    without a running number get one, in feeding order."""

    part: str


@dataclass(frozen=True, slots=True)
class LotBought:
    """What the lot was bought for, as the dealer noted it last."""

    purchase: Purchase


@dataclass(frozen=True, slots=True)
class ScansSeen:
    """What the files of tagged cards are known to be from now on; None where that is nothing."""

    stamps: Stamped


Noted = (
    FolderRead | ChecklistsKnown | LotNamed | StockBegun | LotBought | ScansSeen | Cursor | Sitting
)

# A Cursor is where the dealer stands from now on; a Sitting what is known of one by now.
Event = Effect | Noted


@dataclass(frozen=True, slots=True)
class Change:
    """One undoable step: marks, the cursor before and after, the arrangement where that changed
    too, and what the scans of the cards are known to be."""

    label: str
    at: float
    before: Cursor
    after: Cursor
    marks: tuple[Marking, ...] = ()
    arrangement: tuple[Arrangement, Arrangement] | None = None
    stamps: tuple[StampChange, ...] = ()

    def forward(self) -> Effect:
        """What doing it makes of the lot."""
        arrangement = self.arrangement[1] if self.arrangement else None
        marks = tuple((m.id, m.after) for m in self.marks)
        stamps = tuple((one.scan, one.after) for one in self.stamps)
        return Effect(self.after, marks, arrangement, stamps)

    def backward(self) -> Effect:
        """What taking it back makes of the lot."""
        arrangement = self.arrangement[0] if self.arrangement else None
        # the last goes back first: a mark that was moved twice ends where it was at first
        marks = tuple((m.id, m.before) for m in reversed(self.marks))
        # what is known of a file stays known: by now it may be another card's, under a name that
        # this one had
        stamps = tuple((one.scan, one.before) for one in self.stamps if one.before is not None)
        return Effect(self.before, marks, arrangement, stamps)
