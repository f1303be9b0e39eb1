"""Lots of format 1: one `lot.json` with the tables `lot`, `cards` and `changes`, and no journal."""

from __future__ import annotations

from typing import Any

from tagger.core.lot.change import Change, FolderRead
from tagger.core.model.arrangement import Arrangement
from tagger.store.lot.journal import Draft
from tagger.store.lot.lot_tables import LotTables
from tagger.store.lot.memory_tables import Tables
from tagger.store.lot.records import again_record, change_of, do_record, links, noted_record


def convert(old: Tables, id: str, was: str) -> Draft:
    """A journal `id` that says the same: what was there before the first change, each change, then
    what was undone.

    `was` is the checksum of the old file. Raises ValueError, KeyError or TypeError where the tables
    are no lot."""
    meta: dict[str, Any] = dict(old["lot"]["1"])
    undone = int(meta.pop("undone", 0))
    history = [
        _change(old["changes"][number]) for number in sorted(old.get("changes", {}), key=int)
    ]
    kept = LotTables({"cards": dict(old.get("cards", {})), "state": {"1": meta}})
    meets = _arrangements(history, kept.lot.arrangement, undone)
    now, next_id, cursor = kept.lot.arrangement, kept.lot.next_id, kept.lot.cursor
    for change in reversed(history[: len(history) - undone]):
        kept.apply(change.backward())
    draft = Draft()
    draft.begin(id, str(meta.get("lot", "")), kept.whole(str(meta.get("lot", ""))), was)
    undo, redo = 0, 0
    offsets: list[tuple[int, int]] = []
    at = kept.lot.arrangement
    for change, after in zip(history, meets, strict=True):
        offsets.append((draft.add(do_record(change, undo)), undo))
        undo = offsets[-1][0]
        at = change.arrangement[1] if change.arrangement else at
        if after is not None and after != at:
            at = _intake(draft, after, next_id)
    for change, (offset, before) in reversed(
        list(zip(history, offsets, strict=True))[len(history) - undone :]
    ):
        record = again_record("undo", change.label, offset, change.backward(), before, redo)
        undo, redo = links(record, draft.add(record))
        at = change.arrangement[0] if change.arrangement else at
    if at != now:
        _intake(draft, now, next_id)
    if history:
        draft.add(noted_record(cursor))
    return draft


def _intake(draft: Draft, arrangement: Arrangement, next_id: int) -> Arrangement:
    draft.add(noted_record(FolderRead(arrangement, next_id)))
    return arrangement


def _arrangements(history: list[Change], now: Arrangement, undone: int) -> list[Arrangement | None]:
    """For each change what became of its arrangement later, by scans that came in: format 1 did not
    note when. None where nothing is known of it."""
    done = len(history) - undone
    known: Arrangement | None = (
        None if any(change.arrangement for change in history[done:]) else now
    )
    found: list[Arrangement | None] = []
    for change in reversed(history):
        found.append(known if change.arrangement else None)
        known = change.arrangement[0] if change.arrangement else known
    return found[::-1]


def _change(document: dict[str, Any]) -> Change:
    return change_of(
        {
            "label": document["label"],
            "at": document["at"],
            "desk": [document["before"], document["after"]],
            "marks": document.get("marks", []),
            **({"arrangement": document["arrangement"]} if document.get("arrangement") else {}),
        }
    )
