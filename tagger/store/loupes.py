"""Where the loupe was left for each set: a file that can be lost without loss of anything else."""

from __future__ import annotations

import fcntl
from pathlib import Path
from typing import Any

from tinydb import Query, TinyDB

from tagger.core.loupe import LARGEST, SMALLEST, Loupe
from tagger.store.storage import AtomicStorage


class LoupeFile:
    """The loupes by set, in the file `loupes.json` of a folder. Read once; each change reads it again and replaces it
    under a lock, so that two lots at work keep both their loupes. Silent where it cannot be read or written."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._known: dict[str, Loupe] | None = None

    def get(self, set_name: str) -> Loupe | None:
        """The loupe of a set, None where none is known."""
        return self._read().get(set_name)

    def _read(self) -> dict[str, Loupe]:
        """What is kept, read once."""
        if self._known is None:
            try:
                self._known = _loupes(AtomicStorage(self._path).read())
            except (OSError, *_NONE):
                self._known = {}
        return self._known

    def put(self, set_name: str, loupe: Loupe) -> None:
        """Keep the loupe of a set; on disk when this returns."""
        known = self._read()
        if known.get(set_name) == loupe:
            return
        known[set_name] = loupe
        entry = {"set": set_name, "side": loupe.side, "x": loupe.x, "y": loupe.y, "width": loupe.width}
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
            with open(self._folder / ".loupes.lock", "w", encoding="ascii") as lock:
                fcntl.flock(lock, fcntl.LOCK_EX)
                self._database().table("loupes").upsert(entry, Query().set == set_name)
        except (OSError, ValueError):
            return

    @property
    def _path(self) -> Path:
        return self._folder / "loupes.json"

    def _database(self) -> TinyDB:
        try:
            _loupes(AtomicStorage(self._path).read())
        except _NONE:
            self._path.unlink(missing_ok=True)
        return TinyDB(self._path, storage=AtomicStorage)


_NONE = (ValueError, KeyError, TypeError, AttributeError)


def _loupes(tables: Any) -> dict[str, Loupe]:
    """The loupes by set. Raises one of _NONE where an entry is none."""
    found = {}
    for id, entry in (tables or {}).get("loupes", {}).items():
        int(id)
        loupe = Loupe(entry["side"], float(entry["x"]), float(entry["y"]), float(entry["width"]))
        right = loupe.side in ("front", "back") and 0 <= loupe.x <= 1 and 0 <= loupe.y <= 1
        if not (right and SMALLEST <= loupe.width <= LARGEST):
            raise ValueError(f"no loupe: {entry}")
        found[str(entry["set"])] = loupe
    return found
