"""A TinyDB storage that replaces its file as a whole, so that a reader sees the old text or the new, never half."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from tinydb.storages import Storage

Tables = dict[str, dict[str, Any]]


def write_durably(path: Path, data: bytes) -> None:
    """Replace `path` by `data`: written beside it, fsync-ed, renamed over it, and the folder fsync-ed.

    Raises OSError; the old file is then still whole.
    """
    beside = path.with_name(f"{path.name}.new")
    try:
        with open(beside, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        os.replace(beside, path)
    except OSError:
        beside.unlink(missing_ok=True)
        raise
    folder = os.open(path.parent, os.O_RDONLY)
    try:
        os.fsync(folder)
    finally:
        os.close(folder)


class AtomicStorage(Storage):
    """Keeps the tables in memory and writes them as one JSON text (RFC 8259, ASCII only) that replaces the file.

    Inside `together()` the writes of several tables become one.
    """

    def __init__(self, path: Path) -> None:
        self._path = path
        self._tables: Tables | None = None
        self._together = False

    def read(self) -> Tables | None:
        """The tables, None where there is no file yet. Raises OSError and ValueError (no JSON)."""
        if self._tables is None and self._path.exists():
            self._tables = json.loads(self._path.read_bytes().decode("utf-8"))
        return self._tables

    def write(self, data: Tables) -> None:
        """Keep the tables; on disk when this returns, unless inside `together()`."""
        self._tables = data
        if not self._together:
            self._flush()

    @contextmanager
    def together(self) -> Iterator[None]:
        """One write for all that happens inside. On an error memory goes back to what the file says."""
        self._together = True
        try:
            yield
            self._flush()
        except BaseException:
            self._tables = None
            raise
        finally:
            self._together = False

    def _flush(self) -> None:
        write_durably(self._path, json.dumps(self._tables, separators=(",", ":")).encode("ascii"))
