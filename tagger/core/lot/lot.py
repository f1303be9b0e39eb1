"""A lot as it stands, and the one place where anything takes effect in memory.

Event sourcing: the store appends what happened to its journal and applies it here; replaying the
journal applies the same values by the same method."""

from __future__ import annotations

from collections.abc import Iterable, MutableMapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from tagger.core.lot.carried import Cursor
from tagger.core.lot.change import (
    ChecklistsKnown,
    Effect,
    Event,
    FolderRead,
    LotBought,
    LotNamed,
    ScansSeen,
    StockBegun,
)
from tagger.core.lot.running import numbers_kept
from tagger.core.lot.sitting import Sitting, with_sitting
from tagger.core.lot.view import LotView
from tagger.core.model.tags import State

if TYPE_CHECKING:
    from tagger.core.model.arrangement import Arrangement
    from tagger.core.model.scan_ref import ScanStamp, Stamped
    from tagger.core.model.tags import Mark


@dataclass
class LotState(LotView):
    """A lot that can be changed; see LotView."""

    marks: MutableMapping[int, Mark] = field(default_factory=dict)
    stamps: MutableMapping[str, ScanStamp] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._ids: frozenset[int] = frozenset()
        self.recount()

    def apply(self, event: Event) -> None:
        """Let what happened take effect."""
        # Also for what changes no card: who asks twice between two events gets the same answer, and
        # nobody has to know which event changes what.
        self.revision += 1
        match event:
            case Effect():
                self._take_effect(event)
            case FolderRead(arrangement, next_id):
                self._rearrange(arrangement, next_id)
            case ChecklistsKnown(paths):
                self.checklists = paths
            case LotNamed(name):
                self.name = name
            case StockBegun(part):
                self.part = part
                self._number_tagged()
            case LotBought(purchase):
                self.bought = purchase
            case ScansSeen(stamps):
                self._see(stamps)
            case Cursor():
                self.cursor = event
            case Sitting():
                self.sittings = with_sitting(self.sittings, event)

    def recount(self, marks: Iterable[tuple[int, State, str]] | None = None) -> None:
        """Count states and sets afresh, from (identity, state, set) of all marks, or from the marks
        themselves."""
        # a mark may be left of a card that is gone; the counts are of cards
        self._ids = frozenset(pair.id for pair in self.arrangement.pairs)
        self._tally.clear()
        for id, state, set_name in self._told() if marks is None else marks:
            if id in self._ids:
                self._tally.count(state, set_name, 1)

    def _told(self) -> Iterable[tuple[int, State, str]]:
        return ((id, mark.state, mark.tags.set) for id, mark in self.marks.items())

    def _take_effect(self, effect: Effect) -> None:
        if effect.arrangement is not None:
            self._rearrange(effect.arrangement, self.next_id)
        for id, mark in numbers_kept(self, effect.marks):
            # a card may be gone since: undo of an older change then passes it over
            if id in self._ids:
                self._put(id, mark)
        self.cursor = effect.cursor
        self._see(effect.stamps)

    def _see(self, stamps: Stamped) -> None:
        for scan, stamp in stamps:
            if stamp is None:
                self.stamps.pop(scan, None)
            else:
                self.stamps[scan] = stamp

    def _put(self, id: int, mark: Mark) -> None:
        old = self.mark(id)
        if old.state is not mark.state or old.tags.set != mark.tags.set:
            self._tally.count(old.state, old.tags.set, -1)
            self._tally.count(mark.state, mark.tags.set, 1)
        self.marks[id] = mark
        # Never down again, also where the card is cleared: its label may be on a sleeve already.
        self.highest = max(self.highest, mark.running)

    def _number_tagged(self) -> None:
        for pair in self.arrangement.pairs:
            mark = self.mark(pair.id)
            if mark.state is State.TAGGED and not mark.running:
                self._put(pair.id, replace(mark, running=self.highest + 1))

    def _rearrange(self, arrangement: Arrangement, next_id: int) -> None:
        self.arrangement = arrangement
        # an identity is never used twice: the history may still name the card that had it
        self.next_id = max([next_id, *(pair.id + 1 for pair in arrangement.pairs)])
        self.recount()
