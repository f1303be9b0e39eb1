"""The lots opened on this machine: a list that can be lost without loss, since opening a lot puts
it back."""

from __future__ import annotations

import fcntl
import os
import time
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tinydb import Query, TinyDB

from tagger.core.lot.view import Counts
from tagger.errors import LotError
from tagger.store.lot.lot_file import read_lot
from tagger.store.machine.paths import LotPlace
from tagger.store.machine.storage import AtomicStorage


@dataclass(frozen=True)
class KnownLot:
    """A lot on the list. `opened` is in seconds since 1970; `counts` is None where the lot cannot
    be read now."""

    place: LotPlace
    opened: float
    counts: Counts | None


class LotList:
    """The list in its file `lots.json`. Each change reads and replaces it under a lock."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def opened(self, place: LotPlace) -> None:
        """Note that a lot was opened. Silent where the list cannot be written: it is a
        convenience."""
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
            with open(self._folder / ".lots.lock", "w", encoding="ascii") as lock:
                fcntl.flock(lock, fcntl.LOCK_EX)
                entry = {
                    "folder": os.fspath(place.folder),
                    "home": os.fspath(place.home),
                    "opened": time.time(),
                }
                database = self._database()
                database.table("lots").upsert(entry, Query().folder == entry["folder"])
        except (OSError, ValueError):
            return

    def home_of(self, folder: Path) -> Path | None:
        """Where the tags of a folder were kept when it was opened last."""
        return next(
            (
                known.place.home
                for known in self._entries()
                if known.place.folder == folder.resolve()
            ),
            None,
        )

    def places(self) -> list[LotPlace]:
        """Where all lots on the list are, the one opened last first; none of them is looked at."""
        return [known.place for known in self._entries()]

    def lots(self) -> list[KnownLot]:
        """All lots on the list, the one opened last first, each with how far it is now."""
        found = []
        for known in self._entries():
            try:
                counts = read_lot(known.place.home).counts() if known.place.kept else None
            except LotError:
                counts = None
            found.append(KnownLot(known.place, known.opened, counts))
        return found

    def _entries(self) -> list[KnownLot]:
        try:
            known = [_known(entry) for entry in self._database().table("lots").all()]
        except (OSError, *_NO_LIST):
            return []
        return sorted(known, key=lambda lot: -lot.opened)

    def _database(self) -> TinyDB:
        path = self._folder / "lots.json"
        try:
            tables: Any = AtomicStorage(path).read() or {}
            for id, entry in tables.get("lots", {}).items():
                _known(entry)
                int(id)
        except _NO_LIST:
            path.unlink(missing_ok=True)
        return TinyDB(path, storage=AtomicStorage)


_NO_LIST = (ValueError, KeyError, TypeError, AttributeError)


def _known(entry: Any) -> KnownLot:
    """An entry of the list. Raises one of _NO_LIST where it is none."""
    return KnownLot(
        LotPlace(Path(entry["folder"]), Path(entry["home"])), float(entry["opened"]), None
    )
