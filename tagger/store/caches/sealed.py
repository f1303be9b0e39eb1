"""Files that can be made again, each in one sealed envelope, in folders that are held to a bound.

An envelope is a line with a mark, the lengths of head and body in bytes and a checksum; a head of
JSON; the body, which begins on an eighth byte and is whatever its owner puts there::

    tagger index 5 0000000123 000000045678 cbf43926

The checksum is CRC-32 (ISO-HDLC, as in zlib and PNG) over all else. A file that is not whole, or
has another mark, is as one that never was: what it holds is made again. Nothing here raises, and a
folder may be emptied at any time."""

from __future__ import annotations

import contextlib
import json
import mmap
import os
import tempfile
import zlib
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any, NamedTuple

from tagger.store.files import open_bounded, read_bounded

if TYPE_CHECKING:
    from tagger.core.index.flat_arrays import Buffer

ALIGN = 8  # bytes: numbers of a body that is mapped are read where they lie
_LENGTHS, _SUM = 25, 9  # bytes of the first line after the mark: two lengths, then the checksum
_CHUNK = 1 << 20
_LARGEST = 1 << 34  # bytes
_BLOCK = 4096  # bytes that a small file takes at least


class Sealed(NamedTuple):
    """What an envelope holds. The checksum tells one content from another."""

    head: Any
    body: memoryview
    checksum: int


def keep_sealed(path: Path, mark: bytes, head: Any, parts: Sequence[Buffer] = ()) -> bool:
    """Write an envelope whose body is `parts` one after another, under a name of its own first and
    then in its place; whether that was possible."""
    new = ""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        # not the target's name with an ending: two sittings may write the same file at once
        handle, new = tempfile.mkstemp(prefix="new-", dir=path.parent)
        with open(handle, "wb") as file:
            _write(file, mark, json.dumps(head).encode(), parts)
        os.replace(new, path)
    except OSError:
        with contextlib.suppress(OSError):
            os.unlink(new)
        return False
    return True


def read_sealed(path: Path, mark: bytes) -> Sealed | None:
    """What a file holds, read into memory; None where there is none that is whole."""
    try:
        data = memoryview(read_bounded(path, _LARGEST))
    except OSError:
        return None
    frame = _frame(bytes(data[: len(mark) + _LENGTHS + _SUM]), mark)
    if frame is None or len(data) != frame.size:
        return None
    if zlib.crc32(data[frame.head :], frame.seed) != frame.checksum:
        return None
    return _opened(data, frame)


def map_sealed(path: Path, mark: bytes) -> Sealed | None:
    """As `read_sealed`, but the body stays on the disk and is mapped into memory as it is used."""
    try:
        with open_bounded(path, _LARGEST) as file:
            frame = _frame(file.read(len(mark) + _LENGTHS + _SUM), mark)
            if frame is None or os.fstat(file.fileno()).st_size != frame.size:
                return None
            if _summed(file, frame.seed) != frame.checksum:
                return None
            whole = memoryview(mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ))
    except (OSError, ValueError):
        return None
    return _opened(whole, frame)


def newest(folder: Path, files: int | None, size: int | None) -> list[Path]:
    """The files in a folder and its subfolders that are within a bound, those written last first:
    so many files, and so many bytes with what a file takes on the disk."""
    return [Path(path) for path, _, within in _ranked(folder, files, size) if within]


def evict(folder: Path, files: int | None, size: int | None) -> int:
    """Hold a folder to a bound, as `newest` has it: the files written longest ago go. Bytes that
    the others take."""
    left = 0
    for path, taken, within in _ranked(folder, files, size):
        if within:
            left += taken
            continue
        with contextlib.suppress(OSError):
            os.unlink(path)
    return left


def bytes_taken(folder: Path) -> int:
    """Bytes that the files in a folder and its subfolders take on the disk."""
    return sum(taken for _, taken, _ in _entries(folder))


def taken_by(size: int) -> int:
    """Bytes that a file of this size takes on the disk: whole blocks."""
    return -(-size // _BLOCK) * _BLOCK


def _ranked(folder: Path, files: int | None, size: int | None) -> Iterator[tuple[str, int, bool]]:
    """(path, bytes taken, whether within the bound) of each file, those written last first. The
    newest is always within it: it was made to be used now."""
    total = 0
    for count, (_, taken, path) in enumerate(sorted(_entries(folder), reverse=True)):
        total += taken
        many = files is not None and count >= files
        large = size is not None and total > size
        yield path, taken, count == 0 or not (many or large)


def _entries(folder: Path | str) -> Iterator[tuple[int, int, str]]:
    """(time of writing in ns, bytes taken, path) of each file."""
    with contextlib.suppress(OSError), os.scandir(folder) as entries:
        for entry in entries:
            if entry.is_dir(follow_symlinks=False):
                yield from _entries(entry.path)
                continue
            with contextlib.suppress(OSError):  # another sitting may have let it go meanwhile
                about = entry.stat(follow_symlinks=False)
                yield about.st_mtime_ns, taken_by(about.st_size), entry.path


class _Frame(NamedTuple):
    """What a first line says: where the head begins and how long it is, where the body begins, the
    size of the whole file, the checksum, and the checksum as far as the line itself."""

    head: int
    length: int
    body: int
    size: int
    checksum: int
    seed: int


def _write(file: IO[bytes], mark: bytes, head: bytes, parts: Sequence[Buffer]) -> None:
    body = sum(memoryview(part).nbytes for part in parts)
    said = b"%b %010d %012d " % (mark, len(head), body)
    head += bytes(-(len(said) + _SUM + len(head)) % ALIGN)
    checksum = zlib.crc32(head, zlib.crc32(said))
    for part in parts:
        checksum = zlib.crc32(part, checksum)
    file.write(said + b"%08x\n" % checksum + head)
    for part in parts:
        file.write(memoryview(part).cast("B"))


def _frame(line: bytes, mark: bytes) -> _Frame | None:
    """The frame of a first line, None where it is none of this mark."""
    said, told = line[:-_SUM], line[-_SUM:]
    try:
        length, body = (int(number) for number in said[len(mark) :].split())
        checksum = int(told, 16)
    except ValueError:
        return None
    # int() reads more than was written (signs, spaces, underscores): the line is held against its
    # only spelling
    if line != b"%b %010d %012d %08x\n" % (mark, length, body, checksum):
        return None
    start = len(line) + length
    start += -start % ALIGN
    return _Frame(len(line), length, start, start + body, checksum, zlib.crc32(said))


def _opened(whole: memoryview, frame: _Frame) -> Sealed | None:
    try:
        head = json.loads(bytes(whole[frame.head : frame.head + frame.length]))
    except (ValueError, RecursionError):
        return None
    return Sealed(head, whole[frame.body :], frame.checksum)


def _summed(file: IO[bytes], checksum: int) -> int:
    """The checksum with the rest of a file. It is read, not mapped: what is only summed up need not
    stay in memory."""
    chunk = memoryview(bytearray(_CHUNK))
    while count := file.readinto(chunk):  # type: ignore[attr-defined]
        checksum = zlib.crc32(chunk[:count], checksum)
    return checksum
