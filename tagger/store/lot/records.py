"""Changes as records of the journal and back.

Every record says what becomes of the lot, so that replaying it needs no other record, and doing it
twice is the same as doing it once. A `do` record also says what was before; the records of the
history are linked by their offsets: `u` is the change that undo goes on with after this one, `r`
what redo goes on with (0 for none)."""

from __future__ import annotations

from tagger.core.lot.carried import Cursor
from tagger.core.lot.change import Change, Effect
from tagger.core.lot.lot import LotState
from tagger.core.model.tags import Mark, Marking
from tagger.store.lot.documents import (
    arrangement_document,
    desk_document,
    mark_document,
    read_arrangement,
    read_desk,
    read_mark,
)
from tagger.store.lot.journal import Record


def do_record(change: Change, undo: int) -> Record:
    """A change done anew; `undo` is the record that undo took back before it."""
    record: Record = {
        "k": "do",
        "label": change.label,
        "at": round(change.at, 3),
        "u": undo,
        "desk": [desk_document(change.before), desk_document(change.after)],
        "marks": [[m.id, mark_document(m.before), mark_document(m.after)] for m in change.marks],
    }
    if change.arrangement:
        record["arrangement"] = [arrangement_document(side) for side in change.arrangement]
    return record


def again_record(kind: str, label: str, of: int, effect: Effect, undo: int, redo: int) -> Record:
    """A change taken back (`undo`) or done again (`redo`): `of` is its `do` record, `undo` and
    `redo` are the links."""
    record: Record = {
        "k": kind,
        "label": label,
        "of": of,
        "u": undo,
        "r": redo,
        "desk": [desk_document(effect.desk)],
        "marks": [[id, mark_document(mark)] for id, mark in effect.marks],
    }
    if effect.arrangement is not None:
        record["arrangement"] = [arrangement_document(effect.arrangement)]
    return record


def change_of(record: Record, now: LotState | None = None) -> Change:
    """The change of a `do` record. With `now`, the lot in which it stands, its marks after the
    change are those of the lot: they are the same, and need not be read."""
    before, after = record["desk"]
    sides = record.get("arrangement")
    return Change(
        str(record["label"]),
        float(record["at"]),
        read_desk(before),
        read_desk(after),
        tuple(
            Marking(int(id), read_mark(old), read_mark(new) if now is None else now.mark(int(id)))
            for id, old, new in record["marks"]
        ),
        (read_arrangement(sides[0]), read_arrangement(sides[1])) if sides else None,
    )


def effect_of(record: Record) -> Effect:
    """What a `do`, `undo` or `redo` record makes of the lot."""
    desk: Cursor = read_desk(record["desk"][-1])
    marks: tuple[tuple[int, Mark], ...] = tuple(
        (int(mark[0]), read_mark(mark[-1])) for mark in record["marks"]
    )
    sides = record.get("arrangement")
    return Effect(desk, marks, read_arrangement(sides[-1]) if sides else None)


HISTORY = frozenset({"do", "undo", "redo"})


def links(record: Record, offset: int) -> tuple[int, int]:
    """(undo, redo): what undo and redo go on with after this record of the history."""
    if record["k"] == "undo":
        return int(record["u"]), offset
    return offset, int(record.get("r", 0))
