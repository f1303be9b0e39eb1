"""Lots of format 1: one `lot.json` with the tables `lot`, `cards` and `changes`, and no journal."""

from __future__ import annotations

from typing import Any

from tagger.core.model import Change
from tagger.store.journal import Draft
from tagger.store.kept import KeptLot
from tagger.store.records import again_record, change_of, do_record, links
from tagger.store.tables import Tables


def convert(old: Tables, id: str, was: str) -> Draft:
    """A journal `id` that says the same: what was there before the first change, each change, then what was undone.

    `was` is the checksum of the old file. Raises ValueError, KeyError or TypeError where the tables are no lot.
    """
    meta: dict[str, Any] = dict(old["lot"]["1"])
    undone = int(meta.pop("undone", 0))
    history = [_change(old["changes"][number]) for number in sorted(old.get("changes", {}), key=int)]
    kept = KeptLot({"cards": dict(old.get("cards", {})), "state": {"1": meta}})
    for change in reversed(history[: len(history) - undone]):
        kept.lot.apply(change.backward())
        kept.lay_out()
    draft = Draft()
    draft.begin(id, str(meta.get("lot", "")), kept.whole(str(meta.get("lot", ""))), was)
    undo, redo = 0, 0
    offsets: list[tuple[int, int]] = []
    for change in history:
        offsets.append((draft.add(do_record(change, undo)), undo))
        undo = offsets[-1][0]
    for change, (offset, before) in reversed(list(zip(history, offsets, strict=True))[len(history) - undone :]):
        record = again_record("undo", change.label, offset, change.backward(), before, redo)
        undo, redo = links(record, draft.add(record))
    return draft


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
