"""What the program remembers by name in a file of its own, which can be lost without loss of
anything else: a key-value store in one JSON document, read and replaced under a lock."""

from __future__ import annotations

import contextlib
import fcntl
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any, Generic, TypeVar

from tinydb import Query, TinyDB

from tagger.errors import MALFORMED
from tagger.store.machine.storage import AtomicStorage

T = TypeVar("T")


class StateFile(Generic[T]):
    """Values by key, in the TinyDB file `NAME.json` of a folder, in a table of the same name. Read
    once; each change reads the file again and replaces it under a lock, so that two lots at work
    keep both their values. Silent where it cannot be read or written; a damaged file is as none.

    An entry is a document with its key in the field `key`. `read` makes a value of a document and
    raises ValueError, KeyError or TypeError where it is none; `write` gives the document's other
    fields."""

    def __init__(
        self,
        folder: Path,
        name: str,
        key: str,
        read: Callable[[Mapping[str, Any]], T],
        write: Callable[[T], Any],
    ) -> None:
        self._folder, self._name, self._key = folder, name, key
        self._parse, self._fields = read, write
        self._known: dict[str, T] | None = None

    def get(self, key: str) -> T | None:
        """The value of a key, None where none is known."""
        return self._read().get(key)

    def put(self, key: str, value: T) -> bool:
        """Keep the value of a key; whether it is on disk when this returns."""
        known = self._read()
        if known.get(key) == value:  # the loupe is put at each card, and seldom elsewhere
            return True
        known[key] = value
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
            with self._locked():
                entry = {self._key: key, **self._fields(value)}
                self._database().table(self._name).upsert(entry, Query()[self._key] == key)
        except (OSError, ValueError):  # what cannot be remembered must not stop the work
            return False
        return True

    def remove(self, key: str) -> bool:
        """Keep nothing of a key any more; False where that cannot be written."""
        self._read().pop(key, None)
        try:
            with self._locked():
                self._database().table(self._name).remove(Query()[self._key] == key)
        except (OSError, ValueError):
            return False
        return True

    def values(self) -> list[T]:
        """All values that are known."""
        return list(self._read().values())

    def documents(self) -> dict[str, Any]:
        """The fields of all entries by key, as they are kept."""
        return {key: self._fields(value) for key, value in self._read().items()}

    def put_document(self, key: str, document: Mapping[str, Any]) -> bool:
        """Keep an entry that came from elsewhere; False where it is none, or cannot be written."""
        try:
            value = self._parse({self._key: key, **document})
        except MALFORMED:
            return False
        return self.put(key, value)

    def _read(self) -> dict[str, T]:
        if self._known is None:
            try:
                self._known = self._values(AtomicStorage(self._path).read())
            except (OSError, *MALFORMED):
                self._known = {}
        return self._known

    @contextlib.contextmanager
    def _locked(self) -> Iterator[None]:
        # a file of its own: the data's is replaced, and whoever waits would hold the old one
        with open(self._folder / f".{self._name}.lock", "w", encoding="ascii") as lock:
            with contextlib.suppress(OSError):  # some network file systems have no locks
                fcntl.flock(lock, fcntl.LOCK_EX)
            yield

    @property
    def _path(self) -> Path:
        return self._folder / f"{self._name}.json"

    def _database(self) -> TinyDB:
        try:
            self._values(AtomicStorage(self._path).read())
        except (
            MALFORMED
        ):  # on damage TinyDB would raise at each change, and nothing be kept any more
            self._path.unlink(missing_ok=True)
        return TinyDB(self._path, storage=AtomicStorage)

    def _values(self, tables: Any) -> dict[str, T]:
        """The values by key. Raises one of MALFORMED where an entry is none."""
        found = {}
        for id, entry in (tables or {}).get(self._name, {}).items():
            int(id)  # TinyDB goes on counting from the highest, and fails on one that is no number
            known_by = str(entry[self._key])
            # one value that is none must not hide the others
            with contextlib.suppress(*MALFORMED):
                found[known_by] = self._parse(entry)
        return found
