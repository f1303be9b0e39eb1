"""Checklist files on disk, and the index over them."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.core.index.index import Indexed
from tagger.core.model.text import printable
from tagger.errors import LotError
from tagger.store.caches.index_cache import key_of, load_index
from tagger.store.files import FileTooLarge, open_bounded, read_bounded
from tagger.store.list_names import USUAL, ListNames
from tagger.store.standard_streams import STDIO, read_stdin
from tagger.store.workbooks import ENDINGS as WORKBOOKS

if TYPE_CHECKING:
    pass

LARGEST = 512 * 1024 * 1024  # bytes
ENDINGS = (".csv", ".tsv", ".txt", *WORKBOOKS)  # of the checklists in a folder


def checklist_files(paths: Sequence[Path]) -> list[Path]:
    """The files that are meant: a folder stands for the checklists that lie in it now, by name."""
    found: list[Path] = []
    for path in paths:
        if path == STDIO:
            found.append(path)
            continue
        # A folder without any is read as a file, which says why it cannot be.
        found.extend(_inside(path) or [path])
    return list(dict.fromkeys(found))


def _inside(path: Path) -> list[Path]:
    """The checklists in a folder, by name; none where it is a file."""
    if not os.path.isdir(path):
        return []
    try:
        return sorted(
            entry for entry in path.iterdir() if entry.suffix.lower() in ENDINGS and entry.is_file()
        )
    except OSError:
        return []  # and reading it will say why it cannot be read


def content_digest(
    path: Path, names: ListNames = USUAL, called: Sequence[str] | None = None
) -> str:
    """What a file's content, its name and the names of its columns come to: as long as it is the
    same, the list is read in the same way. `called` stands in the place of the file's name. Raises
    LotError."""
    name, digest = digest_of(path, content_of(path), names)
    return key_of([(part, digest) for part in ([name] if called is None else called)])


def _none() -> Indexed:
    """The index over no lists at all."""
    from tagger.core.checklist.checklist import Checklist
    from tagger.core.index.index import Index

    return Indexed(Index(Checklist()), (), 0, 0)


def digest_of(path: Path, data: bytes, names: ListNames) -> tuple[str, bytes]:
    """What stands for a file of this content: its name, and a digest of both with the names of its
    columns."""
    return path.name, names.mixed(path, hashlib.sha256(data).digest())


def kept_index(files: Sequence[Path], cache: Path, names: ListNames) -> Indexed | None:
    """The index over some files, from the folder `cache`; None where it is not kept there."""
    if not files:
        return _none()
    digests: list[tuple[str, bytes]] = []
    if STDIO in files:
        return None  # what comes in can be read only once
    try:
        for path in files:
            with open_bounded(path, LARGEST) as file:
                # not held in memory: nearly always the index is there and the text is not needed
                digest = hashlib.file_digest(file, "sha256").digest()
                digests.append((path.name, names.mixed(path, digest)))
    except OSError:
        return None
    found = load_index(cache, key_of(digests))
    if found is None:
        return None
    return Indexed(found[0], found[1], len(files), len(files))


def content_of(path: Path) -> bytes:
    """The bytes of a checklist. Raises LotError where it cannot be read."""
    shown = printable(str(path))
    try:
        if path == STDIO:
            return _small(read_stdin(LARGEST + 1))
        if os.path.isdir(path):
            raise LotError(f"There are no checklists in {shown} ({', '.join(ENDINGS)}).")
        if not os.path.exists(path):
            raise LotError(f"There is no checklist {shown}.")
        return read_bounded(path, LARGEST)
    except FileTooLarge:
        raise _too_large(f"The checklist {shown}") from None
    except OSError as error:
        raise LotError(f"The checklist {shown} cannot be read: {error.strerror}.") from None


def _small(data: bytes) -> bytes:
    """What came in on standard input. Raises LotError where it is too large."""
    if len(data) > LARGEST:
        raise _too_large("The checklist on standard input")
    return data


def _too_large(what: str) -> LotError:
    return LotError(f"{what} is larger than {LARGEST // 1024**2} MB; split it.")
