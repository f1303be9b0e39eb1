"""Indexes of checklists kept in the cache folder, so that long lists are read once and not at each
opening.

A kept index belongs to the content of its files: its name is their SHA-256. It is mapped into
memory and used where it lies. A checksum over all of it is held against it first, and what does not
fit is left out of use and made anew; the folder may be emptied at any time."""

from __future__ import annotations

import contextlib
import hashlib
import json
import mmap
import os
import sys
import zlib
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

from tagger.core.checklist.checklist import Problem
from tagger.core.index.flat_arrays import Buffer
from tagger.core.index.index import Index
from tagger.store.caches.folders import put

MARK = b"tagger index"
MADE_AS = (
    "4"  # changes with what an index holds or how a checklist is read, so that no older one is used
)
MOST_KEPT, MOST_BYTES = 24, 1 << 30  # of the folder; those not used for longest go first
MOST_PROBLEMS = 1000  # kept with an index; with more, the files are better mended than cached
_CHUNK = 1 << 20
_ALIGN = 8


def key_of(files: Iterable[tuple[str, bytes]]) -> str:
    """The name for an index over files: (name, SHA-256 of the content) in their order."""
    whole = hashlib.sha256(f"{MADE_AS} {sys.byteorder}".encode())
    for name, digest in files:
        whole.update(len(name.encode("utf-8", "surrogatepass")).to_bytes(4, "big"))
        whole.update(name.encode("utf-8", "surrogatepass") + digest)
    return whole.hexdigest()


def load_index(folder: Path, key: str) -> tuple[Index, tuple[Problem, ...]] | None:
    """A kept index and the problems of its files; None where there is none, or none that can be
    trusted."""
    path = _path(folder, key)
    try:
        with path.open("rb") as file:
            size = os.fstat(file.fileno()).st_size
            head = _head(file.readline(64), size, file)
            if (
                head is None
                or _checksum(file, head["start"]) != head["body"]
                or size != head["size"]
            ):
                raise ValueError("damaged")
            whole = memoryview(mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ))
        os.utime(path)
        sections = {
            name: whole[start : start + length]
            for name, (start, length) in head["sections"].items()
        }
        return Index.opened(sections), tuple(Problem(*each) for each in head["problems"])
    except FileNotFoundError:
        return None
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        with contextlib.suppress(OSError):
            path.unlink()
        return None


def keep_index(folder: Path, key: str, index: Index, problems: Sequence[Problem]) -> bool:
    """Keep an index; whether that was possible. Nothing is raised: without it, the files are read
    again next time."""
    if len(problems) > MOST_PROBLEMS:
        return False
    return put(
        _path(folder, key),
        lambda file: _write(file, index.sections, problems),
        MOST_KEPT,
        MOST_BYTES,
    )


def _path(folder: Path, key: str) -> Path:
    return folder / f"{key}.index"


def _write(file: Any, sections: Mapping[str, Buffer], problems: Sequence[Problem]) -> None:
    """A line with a mark, the head's length and its checksum; the head (JSON); the sections, each
    on an eighth byte."""
    places: dict[str, tuple[int, int]] = {}
    at, body = 0, 0
    for name, buffer in sections.items():
        length = memoryview(buffer).nbytes
        places[name] = (at, length)
        at += length + -length % _ALIGN
    for buffer in sections.values():
        body = zlib.crc32(buffer, body)
        body = zlib.crc32(bytes(-memoryview(buffer).nbytes % _ALIGN), body)
    head = {
        "sections": places,
        "length": at,
        "body": body,
        "problems": [list(problem) for problem in problems],
    }
    text = json.dumps(head).encode()
    first = MARK + f" {len(text):010d} {zlib.crc32(text):010d}\n".encode()
    file.write(first + text + bytes(-(len(first) + len(text)) % _ALIGN))
    for buffer in sections.values():
        file.write(memoryview(buffer).cast("B"))
        file.write(bytes(-memoryview(buffer).nbytes % _ALIGN))


def _head(first: bytes, size: int, file: Any) -> dict[str, Any] | None:
    """What stands before the sections, their places counted from the file's start; None where it is
    not whole."""
    parts = first.removeprefix(MARK).split()
    if not first.startswith(MARK) or len(parts) != 2 or int(parts[0]) > size:
        return None
    text = file.read(int(parts[0]))
    if zlib.crc32(text) != int(parts[1]):
        return None
    head: dict[str, Any] = json.loads(text)
    start = len(first) + len(text)
    start += -start % _ALIGN
    head["start"], head["size"] = start, start + head["length"]
    head["sections"] = {
        name: (start + at, length) for name, (at, length) in head["sections"].items()
    }
    return head


def _checksum(file: Any, start: int) -> int:
    file.seek(start)
    chunk = bytearray(_CHUNK)  # read, not mapped: what is only summed up need not stay in memory
    view, body = memoryview(chunk), 0
    while count := file.readinto(chunk):
        body = zlib.crc32(view[:count], body)
    return body
