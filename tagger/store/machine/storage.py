"""A TinyDB storage that replaces its file as a whole, so that a reader sees the old text or the
new, never half."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from tinydb.storages import Storage

from tagger.store.files import SYSTEM, read_bounded, replace_durably

MOST = 1 << 26  # bytes
Tables = dict[str, dict[str, Any]]


class AtomicStorage(Storage):
    """Writes the tables as one JSON text (RFC 8259, ASCII only) that replaces the file."""

    def __init__(self, path: Path) -> None:
        self._path = path

    def read(self) -> Tables | None:
        """The tables, None where there is no file yet. Raises OSError, and ValueError where it is
        no JSON."""
        try:
            text = read_bounded(self._path, MOST)
        except FileNotFoundError:
            return None
        return dict(json.loads(text))

    def write(self, data: Tables) -> None:
        """Keep the tables; on disk when this returns. Raises OSError."""
        replace_durably(SYSTEM, self._path, json.dumps(data, separators=(",", ":")).encode("ascii"))
