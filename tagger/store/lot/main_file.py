"""`lot.json` as it lies on the disk: read as far as it can be, and nothing believed of it yet."""

from __future__ import annotations

import json
import zlib
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from tagger.core.model.text import printable
from tagger.store.files import Files, read_whole

if TYPE_CHECKING:
    from tagger.store.lot.memory_tables import Tables

MAIN = "lot.json"


class Main(NamedTuple):
    """`lot.json` as it was found: its bytes, and its tables or why there are none."""

    data: bytes | None
    tables: Tables | None
    why: str = ""

    @property
    def format(self) -> int:
        """The format that the file says it has, 0 where it says none."""
        # the second format keeps it under `state`, the first kept it under `lot`
        tables = self.tables or {}
        meta = tables.get("state", {}).get("1") or tables.get("lot", {}).get("1") or {}
        said = meta.get("format")
        return said if isinstance(said, int) else 0

    @property
    def place(self) -> Mapping[str, Any]:
        """Which journal it belongs to, and which place of it it covers."""
        found = (self.tables or {}).get("state", {}).get("1", {}).get("journal", {})
        return found if isinstance(found, dict) else {}

    @property
    def crc(self) -> str:
        """The checksum of its bytes."""
        return f"{zlib.crc32(self.data or b''):08x}"


def read_main(files: Files, home: Path) -> Main:
    """`lot.json`, as far as it can be read. Raises OSError."""
    path = home / MAIN
    if not files.exists(path):
        return Main(None, None)
    data = read_whole(files, path)
    try:
        tables = json.loads(data)
    # Another hand may have nested brackets deeper than Python reads.
    except (ValueError, RecursionError) as error:
        return Main(data, None, printable(str(error), 100))
    if why := _no_lot(tables):
        return Main(data, None, why)
    return Main(data, tables)


def _no_lot(tables: object) -> str:
    """Why what a file holds cannot be the tables of a lot, empty where it can."""
    if not isinstance(tables, dict) or not all(map(_is_table, tables.values())):
        return "it has no tables"
    # checked here, so that `format` and `place` can ask for them without a care
    if not all(_is_table(tables.get(name, {}).get("1", {})) for name in ("state", "lot")):
        return "it is not a lot"
    return ""


def _is_table(said: object) -> bool:
    return isinstance(said, dict)
