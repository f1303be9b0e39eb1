"""What happens to a lot as records of the journal, and back.

Every record says what becomes of the lot, so that replaying it needs no other record, and doing it
twice is the same as doing it once. A `do` record also says what was before; the records of the
history are linked by their offsets: `u` is the change that undo goes on with after this one, `r`
what redo goes on with (0 for none)."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import TYPE_CHECKING

from tagger.core.lot.carried import Cursor
from tagger.core.lot.change import (
    Change,
    ChecklistsKnown,
    Effect,
    Event,
    FolderRead,
    LotBought,
    LotNamed,
    Noted,
    ScansSeen,
    StockBegun,
)
from tagger.core.lot.sitting import Sitting
from tagger.core.model.scan_ref import StampChange
from tagger.core.model.stock_number import kept_part
from tagger.core.model.tags import Marking
from tagger.store.lot.documents import (
    arrangement_document,
    cursor_document,
    mark_document,
    purchase_document,
    read_arrangement,
    read_cursor,
    read_mark,
    read_purchase,
    read_sitting,
    read_stamp,
    sitting_document,
    stamp_list,
)

if TYPE_CHECKING:
    from tagger.core.lot.view import LotView
    from tagger.core.model.scan_ref import ScanStamp
    from tagger.store.lot.journal import Record

HISTORY = frozenset({"do", "undo", "redo"})


def do_record(change: Change, undo: int) -> Record:
    """A change done anew; `undo` is the record that undo took back before it."""
    record: Record = {
        "k": "do",
        "label": change.label,
        "at": round(change.at, 3),  # milliseconds do for a history that people read
        "u": undo,
        "desk": [cursor_document(change.before), cursor_document(change.after)],
        "marks": [[m.id, mark_document(m.before), mark_document(m.after)] for m in change.marks],
    }
    if change.arrangement:
        record["arrangement"] = [arrangement_document(side) for side in change.arrangement]
    # left out where nothing is known: a lot without a folder of scans is kept as it always was
    if change.stamps:
        record["scans"] = [
            [one.scan, stamp_list(one.before), stamp_list(one.after)] for one in change.stamps
        ]
    return record


def again_record(kind: str, label: str, of: int, effect: Effect, undo: int, redo: int) -> Record:
    """A change taken back (`undo`) or done again (`redo`): `of` is its `do` record, `undo` and
    `redo` are the links."""
    record: Record = {
        "k": kind,
        # once more, though it stands in the `do` record: it is shown at each opening
        "label": label,
        "of": of,
        "u": undo,
        "r": redo,
        "desk": [cursor_document(effect.cursor)],
        "marks": [[id, mark_document(mark)] for id, mark in effect.marks],
    }
    if effect.arrangement is not None:
        record["arrangement"] = [arrangement_document(effect.arrangement)]
    if effect.stamps:
        record["scans"] = [[scan, stamp_list(stamp)] for scan, stamp in effect.stamps]
    return record


def noted_record(event: Noted) -> Record:
    """What is only noted, and cannot be undone."""
    match event:
        case FolderRead(arrangement, next_id):
            document = arrangement_document(arrangement)
            return {"k": "intake", "arrangement": document, "next_id": next_id}
        case ChecklistsKnown(paths):
            return {"k": "lists", "checklists": list(paths)}
        case LotNamed(name):
            return {"k": "name", "name": name}
        case StockBegun(part):
            return {"k": "part", "part": part}
        case LotBought(purchase):
            return {"k": "bought", "bought": purchase_document(purchase)}
        case ScansSeen(stamps):
            return {"k": "scans", "scans": [[scan, stamp_list(stamp)] for scan, stamp in stamps]}
        case Cursor():
            return {"k": "stand", "desk": [cursor_document(event)]}
        case Sitting():
            return {"k": "sitting", "sitting": sitting_document(event)}


def event_of(record: Record) -> Event | None:
    """What a record makes of the lot; None where it says nothing of it. Raises ValueError, KeyError
    or TypeError where it is no such record."""
    read = _EVENTS.get(record["k"])
    return None if read is None else read(record)


def change_of(record: Record, now: LotView | None = None) -> Change:
    """The change of a `do` record. With `now`, the lot in which it stands, its marks after the
    change are those of the lot: they are the same, and need not be read."""
    before, after = record["desk"]
    sides = record.get("arrangement")
    return Change(
        str(record["label"]),
        float(record["at"]),
        read_cursor(before),
        read_cursor(after),
        tuple(
            Marking(int(id), read_mark(old), read_mark(new) if now is None else now.mark(int(id)))
            for id, old, new in record["marks"]
        ),
        (read_arrangement(sides[0]), read_arrangement(sides[1])) if sides else None,
        tuple(
            StampChange(str(scan), read_stamp(old), read_stamp(new))
            for scan, old, new in record.get("scans", ())
        ),
    )


def effect_of(record: Record) -> Effect:
    """What a `do`, `undo` or `redo` record makes of the lot: the last of each of its lists."""
    # a `do` record has what was before as well, in front of it
    marks = tuple((int(mark[0]), read_mark(mark[-1])) for mark in record["marks"])
    sides = record.get("arrangement")
    arrangement = read_arrangement(sides[-1]) if sides else None
    return Effect(read_cursor(record["desk"][-1]), marks, arrangement, tuple(_stamped(record)))


def _stamped(record: Record) -> Iterator[tuple[str, ScanStamp | None]]:
    """What the scans of a record are known to be after it."""
    # a `do` record has what was known before as well, in front of it
    return ((str(one[0]), read_stamp(one[-1])) for one in record.get("scans", ()))


# by the letter `k` of a record; `lot`, `base` and `kept` are of the journal itself
_EVENTS: Mapping[str, Callable[[Record], Event]] = {
    "do": effect_of,
    "undo": effect_of,
    "redo": effect_of,
    "intake": lambda record: FolderRead(
        read_arrangement(record["arrangement"]), int(record["next_id"])
    ),
    "lists": lambda record: ChecklistsKnown(tuple(map(str, record["checklists"]))),
    "name": lambda record: LotNamed(str(record["name"])),
    "part": lambda record: StockBegun(kept_part(record["part"])),
    "bought": lambda record: LotBought(read_purchase(record["bought"])),
    "scans": lambda record: ScansSeen(tuple(_stamped(record))),
    "stand": lambda record: read_cursor(record["desk"][-1]),
    "sitting": lambda record: read_sitting(record["sitting"]),
}


def links(record: Record, offset: int) -> tuple[int, int]:
    """(undo, redo): what undo and redo go on with after this record of the history."""
    if record["k"] == "undo":
        return int(record["u"]), offset
    # a change done anew has no `r`: what was undone before it can no longer be done again
    return offset, int(record.get("r", 0))
