"""What the lists of this machine's lots had in them when they were read last, so that one that was
renamed is known again by its content, and what was asked of one is asked once."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from tagger.store.files import digest_bounded
from tagger.store.machine.paths import data_folder
from tagger.store.machine.state_file import StateFile

LARGEST = 512 * 1024 * 1024  # bytes
MOST_FILES = 2000  # of a folder that are looked at


class _Content(NamedTuple):
    """A file's content: its SHA-256, size in bytes, and when it was changed (nanoseconds)."""

    digest: str
    size: int
    changed: int


class KnownLists:
    """Lists by their whole paths. Silent where nothing can be read or written."""

    def __init__(self, folder: Path | None = None) -> None:
        self._file: StateFile[_Content] = StateFile(
            folder or data_folder(), "known_lists", "path", _read, _Content._asdict
        )

    def note(self, paths: Iterable[str]) -> None:
        """These lists were read."""
        for path in paths:
            known, now = self._file.get(path), _stamp(path)
            # a file of the same size and time is not read once more
            if now is None or (known is not None and known[1:] == now):
                continue
            if digest := _digest(path):
                self._file.put(path, _Content(digest, *now))

    def found_again(self, path: str, folders: Sequence[Path] = ()) -> str | None:
        """Where a list that is gone lies now: a file of the same content in its folder, or in one
        of some others; None where there is none, or nothing is known of it."""
        known = self._file.get(path)
        if known is None:
            return None
        for folder in dict.fromkeys((Path(path).parent, *folders)):
            for file in _files(folder, known.size):
                if _digest(file) == known.digest:
                    return file
        return None


def _stamp(path: str) -> tuple[int, int] | None:
    try:
        found = os.stat(path)
    except (OSError, ValueError):
        return None
    return (found.st_size, found.st_mtime_ns) if os.path.isfile(path) else None


def _files(folder: Path, size: int) -> Iterator[str]:
    """The files of a size in a folder, by name."""
    try:
        with os.scandir(folder) as entries:
            few = sorted((entry.name for entry, _ in zip(entries, range(MOST_FILES), strict=False)))
    except (OSError, ValueError):
        return
    for name in few:
        path = os.path.abspath(folder / name)
        stamp = _stamp(path)
        if stamp is not None and stamp[0] == size:
            yield path


def _digest(path: str) -> str:
    """The SHA-256 of a file, empty where it cannot be read."""
    try:
        return digest_bounded(Path(path), LARGEST)
    except OSError:
        return ""


def _read(entry: Mapping[str, Any]) -> _Content:
    return _Content(str(entry["digest"]), int(entry["size"]), int(entry["changed"]))


def lists_now(checklists: Iterable[str], folders: Sequence[Path] = ()) -> tuple[str, ...]:
    """Where a lot's checklists lie now: one that is gone is looked for by its content in its folder
    and some others; one that is not found stays as it was."""
    every = tuple(checklists)
    if all(map(os.path.lexists, every)):
        return every
    known = KnownLists()
    return tuple(
        path if os.path.lexists(path) else known.found_again(path, folders) or path
        for path in every
    )
