"""`lot.json` brought up to what the journal says: the checkpoint of a write-ahead log.

It lets the next opening replay only what came behind it. The tags are safe without it, so it waits
until the keys are quiet, and a failure is told and tried again."""

from __future__ import annotations

import json
import threading
import time
import zlib
from contextlib import AbstractContextManager
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.errors import NotSaved
from tagger.store.files import Files, replace_durably
from tagger.store.lot.main_file import MAIN
from tagger.store.lot.messages import behind

if TYPE_CHECKING:
    from tagger.store.lot.history_reader import HistoryReader
    from tagger.store.lot.journal import Journal
    from tagger.store.lot.lot_tables import LotTables
    from tagger.store.lot.memory_tables import Tables

AFTER = 200  # changes after which lot.json follows even while the keys are busy
# cards from which lot.json is written by a thread: a smaller one is there before a key could wait
LARGE = 1500


def main_bytes(tables: Tables) -> bytes:
    """Tables as the bytes of a `lot.json`."""
    return json.dumps(tables, separators=(",", ":")).encode("ascii")


class Checkpoint:
    """Writes the `lot.json` of one lot. `mutex` is held while the lot or its journal changes;
    `covers` is the place in the journal that the file stands for, -1 for none; `pending` counts the
    records that it does not have yet; `writer` is the thread that is writing it."""

    def __init__(
        self,
        files: Files,
        home: Path,
        name: str,
        kept: LotTables,
        mutex: AbstractContextManager[bool],
        covers: int,
    ) -> None:
        self._files, self._home, self._name = files, home, name
        self._kept, self._mutex = kept, mutex
        self._late: OSError | None = None
        # Where no file stands for a place there is one to write, without any change.
        self.covers, self.pending = covers, int(covers < 0)
        self.writer: threading.Thread | None = None

    @property
    def overdue(self) -> bool:
        """Whether so much is pending that it is written though the keys are busy."""
        return self.pending >= AFTER and self.writer is None

    @property
    def wanted(self) -> bool:
        """Whether anything is pending that is not being written."""
        return bool(self.pending) and self.writer is None

    def write(self, journal: Journal, id: str, history: HistoryReader, at_once: bool) -> None:
        """Write the lot as it is now, in the background where it is large, unless `at_once`. Raises
        NotSaved."""
        # the tables as they are at one place: no record may come between the two
        with self._mutex:
            covers = journal.end
            place = {
                "id": id,
                "covers": covers,
                "n": journal.number,
                "undo": history.undo,
                "redo": history.redo,
            }
            self._kept.write_state(self._name, place, int(time.time()))
            tables = self._kept.snapshot()
            self.pending = 0
        if at_once or self._kept.lot.cards < LARGE:
            try:
                self._replace(journal, tables, covers)
            except OSError as error:
                self.pending = 1
                raise NotSaved(behind(error, self._home)) from None
        else:
            self.writer = threading.Thread(
                target=self._replace_later, args=(journal, tables, covers), name="lot.json"
            )
            self.writer.start()

    def raise_late(self) -> None:
        """Raises NotSaved where the thread failed since this was asked last."""
        if self._late is not None:
            error, self._late = self._late, None
            raise NotSaved(behind(error, self._home))

    def join(self) -> None:
        """Wait for the thread; what went wrong there is not told any more."""
        writer = self.writer
        if writer is not None:
            writer.join()
        self._late = None

    def _replace(self, journal: Journal, tables: Tables, covers: int) -> None:
        data = main_bytes(tables)
        # the seal comes first: a file that no line vouches for counts as changed by another hand
        with self._mutex:
            journal.append(
                {
                    "k": "kept",
                    "covers": covers,
                    "size": len(data),
                    "crc": f"{zlib.crc32(data):08x}",
                }
            )
        replace_durably(self._files, self._home / MAIN, data)
        self.covers = covers

    def _replace_later(self, journal: Journal, tables: Tables, covers: int) -> None:
        try:
            self._replace(journal, tables, covers)
        except OSError as error:
            # Kept for `raise_late`: raised in this thread it would reach nobody.
            self._late, self.pending = error, 1
        self.writer = None
