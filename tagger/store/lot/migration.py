"""Lots of format 1: one `lot.json` with the tables `lot`, `cards` and `changes`, and no journal."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from tagger.core.lot.change import Change, FolderRead
from tagger.core.model.arrangement import Arrangement
from tagger.store.lot.journal import Draft
from tagger.store.lot.records import (
    again_record,
    change_of,
    do_record,
    links,
    noted_record,
)

if TYPE_CHECKING:
    from tagger.store.lot.lot_tables import LotTables
    from tagger.store.lot.memory_tables import Tables


def convert(old: Tables, kept: LotTables, id: str, was: str) -> Draft:
    """A journal `id` that says the same: what was there before the first change, each change, then
    what was undone.

    `kept` is the lot as the old tables have it, which is used up; `was` is the checksum of the old
    file. Raises ValueError, KeyError or TypeError where the tables
    are no lot."""
    undone = int(old["lot"]["1"].get("undone", 0))
    # Ids of a table are texts, by which 10 would come before 9.
    numbers = sorted(old.get("changes", {}), key=int)
    history = [_change(old["changes"][number]) for number in numbers]
    now, cursor = kept.lot.arrangement, kept.lot.cursor
    meets = _arrangements(history, now, undone)
    writer = _Writer(kept.lot.next_id)
    # what stands is taken back to find what there was before the first change
    for change in reversed(history[: len(history) - undone]):
        kept.apply(change.backward())
    name = str(old["lot"]["1"].get("lot", ""))
    writer.begin(id, name, kept, was)
    done = [writer.do(change, after) for change, after in zip(history, meets, strict=True)]
    # The last change first, as undo did it.
    for step in reversed(done[len(done) - undone :]):
        writer.undo(step)
    # Format 1 noted no scans that came in, so all that came since the last change are told at once.
    writer.intake(now)
    # The changes have moved the cursor, and here it was left.
    if history:
        writer.draft.add(noted_record(cursor))
    return writer.draft


class _Done(NamedTuple):
    """A change as it was written: where, and what undo went on with before it."""

    change: Change
    offset: int
    undo: int


class _Writer:
    """Writes the history as the journal would have it, had it been there."""

    def __init__(self, next_id: int) -> None:
        self.draft = Draft()
        self._next_id = next_id
        self._undo = self._redo = 0
        self._at = Arrangement()

    def begin(self, id: str, name: str, kept: LotTables, was: str) -> None:
        self.draft.begin(id, name, kept.whole(name), was)
        self._at = kept.lot.arrangement

    def do(self, change: Change, after: Arrangement | None) -> _Done:
        """Write a change; `after` is what became of its arrangement by scans that came later."""
        done = _Done(change, self.draft.add(do_record(change, self._undo)), self._undo)
        self._undo = done.offset
        if change.arrangement:
            self._at = change.arrangement[1]
        if after is not None:
            self.intake(after)
        return done

    def undo(self, done: _Done) -> None:
        """Write that a change was taken back."""
        change, offset, before = done
        record = again_record("undo", change.label, offset, change.backward(), before, self._redo)
        self._undo, self._redo = links(record, self.draft.add(record))
        if change.arrangement:
            self._at = change.arrangement[0]

    def intake(self, arrangement: Arrangement) -> None:
        """Write that scans came in, where the lot was another then."""
        if arrangement != self._at:
            self.draft.add(noted_record(FolderRead(arrangement, self._next_id)))
            self._at = arrangement


def _arrangements(history: list[Change], now: Arrangement, undone: int) -> list[Arrangement | None]:
    """For each change what became of its arrangement later, by scans that came in: format 1 did not
    note when. None where nothing is known of it."""
    known: Arrangement | None = now
    # the arrangement of now is that before the changes that were undone, and says nothing of theirs
    if any(change.arrangement for change in history[len(history) - undone :]):
        known = None
    found: list[Arrangement | None] = []
    for change in reversed(history):
        if change.arrangement is None:
            found.append(None)
        else:
            found.append(known)
            known = change.arrangement[0]
    return found[::-1]


def _change(document: dict[str, Any]) -> Change:
    record = {
        "label": document["label"],
        "at": document["at"],
        "desk": [document["before"], document["after"]],
        "marks": document.get("marks", []),
    }
    if arrangement := document.get("arrangement"):
        record["arrangement"] = arrangement
    return change_of(record)
