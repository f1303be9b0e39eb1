"""The history read back from the journal by its links, one record at a time and no more than is
asked for."""

from __future__ import annotations

from collections.abc import Callable

from tagger.core.lot.history import Past
from tagger.errors import NotSaved
from tagger.store.lot.journal import Record
from tagger.store.lot.records import change_of


def read_past(read: Callable[[int], Record], start: int, limit: int, undone: bool) -> list[Past]:
    """At most `limit` changes from the record at the offset `start` on: those that stand, the
    newest first, or with `undone` those that redo would do, the next one first. A record that
    cannot be read ends the list, as it ends undo."""
    link, found = "r" if undone else "u", list[Past]()
    while start and len(found) < limit:
        try:
            record = read(start)
            change = change_of(record if record["k"] == "do" else read(int(record["of"])))
            start = int(record[link])
        except (NotSaved, ValueError, KeyError, TypeError):
            break
        found.append(Past(change, start))
    return found
