"""Folders of files that can be made again: written whole or not at all, bounded, safe to empty at
any time."""

from __future__ import annotations

import contextlib
import os
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import IO


def put(
    path: Path, write: Callable[[IO[bytes]], None], most: int, most_bytes: int | None = None
) -> bool:
    """Write a file under a name of its own and then give it its place; whether that was possible.
    Nothing is raised.

    Then the folder is held to `most` files and `most_bytes` bytes: those not used for longest go
    first."""
    name = ""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(prefix="new-", dir=path.parent)
        with open(handle, "wb") as file:
            write(file)
        os.replace(name, path)
        _keep_newest(path.parent, most, most_bytes)
    except OSError:
        with contextlib.suppress(OSError):
            os.unlink(name)
        return False
    return True


def _keep_newest(folder: Path, most: int, most_bytes: int | None) -> None:
    found = [
        (entry.stat().st_mtime_ns, entry.stat().st_size, entry.path) for entry in os.scandir(folder)
    ]
    total = 0
    for count, (_, size, path) in enumerate(sorted(found, reverse=True)):
        total += size
        if count and (count >= most or (most_bytes is not None and total > most_bytes)):
            with contextlib.suppress(OSError):
                os.unlink(path)
