"""The history as the journal has it: a chain of records linked by their offsets.

It is read back by its links, one record at a time and no more than is asked for: what was undone
may be half a season old."""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.lot.history import PastChange
from tagger.errors import MALFORMED, NotSaved
from tagger.store.lot.records import again_record, change_of, links

if TYPE_CHECKING:
    from tagger.core.lot.change import Change, Effect
    from tagger.core.lot.view import LotView
    from tagger.store.lot.journal import Record


class Step(NamedTuple):
    """One step through the history: the change, the record that says so, what it makes of the
    lot."""

    change: Change
    record: Record
    effect: Effect


class HistoryReader:
    """Where undo and redo stand: `undo` and `redo` are the offsets of the records that they go on
    with, 0 for none; `label` is that of the change that undo would take back. `read` gives the
    record at an offset, and raises NotSaved where it cannot be read."""

    def __init__(self, read: Callable[[int], Record], undo: int, redo: int) -> None:
        self._read = read
        self.undo, self.redo = undo, redo
        self.label = self._label_at(undo)

    def went_on(self, record: Record, offset: int) -> None:
        """This record of the history was appended at this offset."""
        self.undo, self.redo = links(record, offset)
        # after an undo the record says what was taken back; the label wanted is the one before it
        if record["k"] == "undo":
            self.label = self._label_at(self.undo)
        else:
            self.label = str(record["label"])

    def step_back(self, lot: LotView) -> Step | None:
        """Taking back the last change that stands in the lot, None where there is none. Raises
        NotSaved."""
        with _told():
            return self._step_back(lot) if self.undo else None

    def _step_back(self, lot: LotView) -> Step:
        top = self._read(self.undo)
        # A `do` record is the change itself, so only the others name it.
        of = int(top.get("of", self.undo))
        change = change_of(self._done(top), now=lot)
        effect = change.backward()
        record = again_record("undo", change.label, of, effect, int(top["u"]), self.redo)
        return Step(change, record, effect)

    def step_on(self) -> Step | None:
        """Doing again what was taken back last, None where there is nothing. Raises NotSaved."""
        with _told():
            return self._step_on() if self.redo else None

    def _step_on(self) -> Step:
        top = self._read(self.redo)
        # Not from the lot, as in undoing: the change does not stand there, so its marks are others.
        change = change_of(self._done(top))
        effect = change.forward()
        of, onward = int(top["of"]), int(top["r"])
        record = again_record("redo", change.label, of, effect, self.undo, onward)
        return Step(change, record, effect)

    def past(self, limit: int, undone: bool, onward: int | None) -> list[PastChange]:
        """At most `limit` changes: those that stand, the newest first, or with `undone` those that
        redo would do, the next one first. `onward` is where an earlier reading ended. A record that
        cannot be read ends the list, as it ends undo."""
        start, link = (self.redo, "r") if undone else (self.undo, "u")
        if onward is not None:
            start = onward
        found: list[PastChange] = []
        while start and len(found) < limit:
            try:
                record = self._read(start)
                change = change_of(self._done(record))
                start = int(record[link])
            except (NotSaved, *MALFORMED):
                break
            found.append(PastChange(change, start))
        return found

    def _done(self, record: Record) -> Record:
        """The `do` record of a change: an undo or a redo says only where that is."""
        if record["k"] == "do":
            return record
        return self._read(int(record["of"]))

    def _label_at(self, offset: int) -> str:
        if not offset:
            return ""
        try:
            return str(self._read(offset)["label"])
        except (NotSaved, KeyError):
            # undo will say so when it is asked for; until then the lot can be worked at
            return "a change that cannot be read"


@contextlib.contextmanager
def _told() -> Iterator[None]:
    """Raises NotSaved where a record that is whole lacks what a change has."""
    try:
        yield
    except MALFORMED:
        raise NotSaved(
            "Not undone: a change in lot.journal cannot be read; what came after it is safe."
        ) from None
