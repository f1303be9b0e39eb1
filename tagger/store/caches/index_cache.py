"""Indexes of checklists kept in the cache folder, so that long lists are read once and not at each
opening.

A kept index belongs to the content of its files: its name is their SHA-256. It is mapped into
memory and used where it lies: the sections of an `Index` stand in the body of a sealed envelope,
each on an eighth byte, and its head says where. One that is not whole is made anew."""

from __future__ import annotations

import contextlib
import hashlib
import os
import sys
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.core.checklist.oddities import Problem
from tagger.core.index.index import Index
from tagger.errors import MALFORMED
from tagger.store.caches.sealed import ALIGN, Sealed, evict, keep_sealed, map_sealed

if TYPE_CHECKING:
    from tagger.core.index.flat_arrays import Buffer

MARK = b"tagger index"
# changes with what an index holds or how a checklist is read, so that no older one is used
MADE_AS = "47"
MOST_KEPT, MOST_BYTES = 24, 1 << 30  # of the folder; those not used for longest go first
_in_use: set[Path] = set()
MOST_PROBLEMS = 1000  # kept with an index; with more, the files are better mended than cached


def key_of(files: Iterable[tuple[str, bytes]]) -> str:
    """The name for an index over files: (name, SHA-256 of the content) in their order."""
    # numbers lie in an index as this machine has them: a folder may be shared with another
    whole = hashlib.sha256(f"{MADE_AS} {sys.byteorder}".encode())
    for name, digest in files:
        # its length first, or the end of one name and the next digest could pass for another name
        whole.update(len(name.encode("utf-8", "surrogatepass")).to_bytes(4, "big"))
        whole.update(name.encode("utf-8", "surrogatepass") + digest)
    return whole.hexdigest()


def load_index(folder: Path, key: str) -> tuple[Index, tuple[Problem, ...]] | None:
    """A kept index and the problems of its files; None where there is none, or none that can be
    trusted."""
    path = _path(folder, key)
    try:
        sealed = map_sealed(path, MARK)
        if sealed is not None:
            os.utime(path)  # used now: what is used last is let go last
            found = _opened(sealed)
            _in_use.add(path)
            return found
    except (OSError, *MALFORMED):
        pass
    with contextlib.suppress(OSError):
        path.unlink()
    return None


def forget_used() -> bool:
    """Let go of what was opened by this process; whether there was any. An index is used as it
    lies, and is not looked through beforehand: one whose numbers lead nowhere shows by an error of
    whoever uses it, at once and at each opening."""
    used = list(_in_use)
    _in_use.clear()
    for path in used:
        with contextlib.suppress(OSError):
            path.unlink()
    return bool(used)


def keep_index(folder: Path, key: str, index: Index, problems: Sequence[Problem]) -> bool:
    """Keep an index; whether that was possible. Nothing is raised: without it, the files are read
    again next time."""
    if len(problems) > MOST_PROBLEMS:
        return False
    places: dict[str, tuple[int, int]] = {}
    parts: list[Buffer] = []
    at = 0
    for name, buffer in index.sections.items():
        length = memoryview(buffer).nbytes
        padding = -length % ALIGN
        places[name] = (at, length)
        parts += buffer, bytes(padding)
        at += length + padding
    head = {"sections": places, "problems": [list(problem) for problem in problems]}
    if not keep_sealed(_path(folder, key), MARK, head, parts):
        return False
    evict(folder, MOST_KEPT, MOST_BYTES)
    return True


def _path(folder: Path, key: str) -> Path:
    return folder / f"{key}.index"


def _opened(sealed: Sealed) -> tuple[Index, tuple[Problem, ...]]:
    """The index that lies in an envelope. Raises ValueError and its like where it is none."""
    places = sealed.head["sections"]
    sections = {name: sealed.body[at : at + length] for name, (at, length) in places.items()}
    return Index.opened(sections), tuple(Problem(*each) for each in sealed.head["problems"])
