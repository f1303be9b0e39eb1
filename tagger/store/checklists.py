"""Checklist files on disk, and the index over them."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Sequence
from pathlib import Path

from tagger.core.checklist.checklist import Checklist, Problem, merge
from tagger.core.checklist.files import parse_checklist
from tagger.core.index.index import Index, Indexed
from tagger.core.model.text import printable
from tagger.errors import LotError
from tagger.store.caches.index_cache import keep_index, key_of, load_index
from tagger.store.standard_streams import STDIO, read_stdin

LARGEST = 512 * 1024 * 1024  # bytes
ENDINGS = (".csv", ".tsv", ".txt")  # of the checklists in a folder


def checklist_files(paths: Sequence[Path]) -> list[Path]:
    """The files that are meant: a folder stands for the checklists that lie in it now, by name."""
    found: list[Path] = []
    for path in paths:
        if path == STDIO or not path.is_dir():
            found.append(path)
            continue
        try:
            inside = sorted(
                entry
                for entry in path.iterdir()
                if entry.suffix.lower() in ENDINGS and entry.is_file()
            )
        except OSError:
            inside = []  # and reading it will say why it cannot be read
        found.extend(inside or [path])
    return list(dict.fromkeys(found))


def read_checklist(path: Path) -> Checklist:
    """One checklist file, or standard input. Raises LotError where it cannot be read at all."""
    return _parsed(path, _content(path))


def read_indexed(
    paths: Sequence[Path],
    cache: Path,
    partly: Callable[[Indexed], None] = lambda lists: None,
    strict: bool = False,
) -> Indexed:
    """The index over some checklist files (or folders of them), from the folder `cache` where it is
    kept there.

    `partly` is called with what there is while more is being read, each time with at least twice as
    much. A file that cannot be read becomes a problem, and the others count; with `strict` it
    raises LotError."""
    files = checklist_files(paths)
    if kept := _kept(files, cache):
        return kept
    found: list[Checklist] = []
    digests: list[tuple[str, bytes]] = []
    told = 0
    for count, path in enumerate(files, start=1):
        try:
            data = _content(path)
            digests.append((path.name, hashlib.sha256(data).digest()))
            found.append(_parsed(path, data))
        except LotError as error:
            if strict:
                raise
            found.append(Checklist((), (Problem(printable(path.name), 0, error.message),)))
        rows = sum(len(checklist.rows) for checklist in found)
        if count < len(files) and rows >= max(1, 2 * told):
            told = rows
            partly(_indexed(found, count, len(files)))
    read = _indexed(found, len(files), len(files))
    if not found or len(digests) < len(files):
        return read
    del found
    key = key_of(digests)
    if not keep_index(cache, key, read.index, read.problems):
        return read
    mapped = load_index(cache, key)  # where it lies, instead of a second time in memory
    return read if mapped is None else Indexed(mapped[0], read.problems, read.files, read.of)


def _kept(files: Sequence[Path], cache: Path) -> Indexed | None:
    digests: list[tuple[str, bytes]] = []
    if STDIO in files:
        return None  # what comes in can be read only once
    try:
        for path in files:
            with path.open("rb") as file:
                digests.append((path.name, hashlib.file_digest(file, "sha256").digest()))
    except OSError:
        return None
    found = load_index(cache, key_of(digests)) if files else None
    return None if found is None else Indexed(found[0], found[1], len(files), len(files))


def _indexed(found: Sequence[Checklist], files: int, of: int) -> Indexed:
    whole = merge(found) if found else Checklist()
    return Indexed(Index(whole), whole.problems, files, of)


def _content(path: Path) -> bytes:
    shown = printable(str(path))
    try:
        if path == STDIO:
            return _small(read_stdin(LARGEST + 1))
        if path.is_dir():
            raise LotError(f"There are no checklists in {shown} ({', '.join(ENDINGS)}).")
        if not path.exists():
            raise LotError(f"There is no checklist {shown}.")
        if path.stat().st_size > LARGEST:
            raise _too_large(f"The checklist {shown}")
        return path.read_bytes()
    except OSError as error:
        raise LotError(f"The checklist {shown} cannot be read: {error.strerror}.") from None


def _small(data: bytes) -> bytes:
    """What came in on standard input. Raises LotError where it is too large."""
    if len(data) > LARGEST:
        raise _too_large("The checklist on standard input")
    return data


def _too_large(what: str) -> LotError:
    return LotError(f"{what} is larger than {LARGEST // 1024**2} MB; split it.")


def _parsed(path: Path, data: bytes) -> Checklist:
    if path == STDIO:
        return parse_checklist(data, "standard input", "standard input")
    return parse_checklist(data, printable(path.name), printable(path.stem))
