"""The beginning of a journal: for a new lot, one of an older format, and one whose journal was lost
or is damaged."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from tagger.store.files import Files, replace_durably
from tagger.store.lot.journal import JOURNAL, Draft, lines_of
from tagger.store.lot.lot_tables import old_tables
from tagger.store.lot.main_file import MAIN, Main, read_main
from tagger.store.lot.migration import convert
from tagger.store.lot.records import HISTORY, links

if TYPE_CHECKING:
    from tagger.store.lot.lot_tables import LotTables
    from tagger.store.lot.recovery import Recovered


def new_draft(kept: LotTables, name: str, main: Main) -> Draft:
    """A journal that starts from the lot as it is, without a history. The `lot.json` that is there
    stays where it is, but counts no more once the journal stands."""
    draft = Draft()
    draft.begin(_new_id(), name, kept.whole(name), "" if main.data is None else main.crc)
    return draft


def begin_journal(found: Recovered, files: Files, home: Path, name: str) -> None:
    """Write the journal of a lot that has none, and say in `found` where it goes on. A `lot.json`
    of the first format is kept beside it. Raises OSError."""
    main = read_main(files, home)
    if found.old is None:
        draft = new_draft(found.kept, name, main)
    else:
        # before the journal: a kill between the two leaves the old lot as it was
        replace_durably(files, home / f"{MAIN}.format-1", main.data or b"")
        draft = convert(found.old, old_tables(found.old), _new_id(), main.crc)
    data = bytes(draft.data)
    replace_durably(files, home / JOURNAL, data)
    found.number = draft.number
    _go_on(found, data)


def _go_on(found: Recovered, data: bytes) -> None:
    """Say where a journal that was just begun goes on."""
    # Read back from its bytes, as any later opening would find it.
    lines = list(lines_of(data))
    records = [(line.record or {}, line.offset) for line in lines]
    found.id = str(records[0][0]["id"])
    found.end, found.covers = lines[-1].end, -1
    found.undo = found.redo = 0
    for record, offset in records:
        if record["k"] in HISTORY:
            found.undo, found.redo = links(record, offset)


def _new_id() -> str:
    """What tells a journal from all others: a random UUID (RFC 9562, version 4)."""
    # late: a lot that has a journal needs none
    from uuid import uuid4

    return uuid4().hex
