"""The few calls by which the store touches the disk: one seam, so that tests can put a faulty disk
behind it. And how a file is replaced as a whole by their means: written beside it, synced, renamed
(POSIX `rename` is atomic), and the folder synced."""

from __future__ import annotations

import contextlib
import errno
import fcntl
import hashlib
import os
import re
import stat
from collections.abc import Callable, Iterator
from io import BufferedReader
from pathlib import Path
from typing import Protocol

# macOS: fsync alone leaves data in the drive's own cache
_FULL_SYNC = getattr(fcntl, "F_FULLFSYNC", None)

LARGEST = 1 << 30  # bytes of a lot's own files
_NEW = ".new"  # the end of a name under which a file is written before it is renamed
_LONGEST = (
    220  # bytes of a name; with what is added it is below 255, the most in POSIX file systems
)

_DATA_SYNC = getattr(os, "fdatasync", os.fsync)


class FileTooLarge(OSError):
    """A file is larger than anything that is read as this kind of file."""

    def __init__(self, path: Path) -> None:
        super().__init__(errno.EFBIG, "it is too large", os.fspath(path))


class Files(Protocol):
    """File calls with the meaning and the errors (OSError) of POSIX. `fd` is a file descriptor;
    offsets in bytes."""

    def open(self, path: Path, flags: int) -> int: ...
    def read_at(self, fd: int, size: int, offset: int) -> bytes: ...
    def write_at(self, fd: int, data: bytes, offset: int) -> int: ...
    def truncate(self, fd: int, size: int) -> None: ...
    def sync(self, fd: int) -> None: ...
    def sync_folder(self, fd: int) -> None: ...
    def close(self, fd: int) -> None: ...
    def identity(self, path: Path) -> tuple[int, int, int]: ...
    def size(self, fd: int) -> int: ...
    def replace(self, source: Path, target: Path) -> None: ...
    def unlink(self, path: Path) -> None: ...
    def exists(self, path: Path) -> bool: ...


class SystemFiles:
    """The system's own calls."""

    def open(self, path: Path, flags: int) -> int:
        """Open a file or a folder; a new file is readable by all, writable by its owner. What
        is neither, as a pipe or a device, is an error."""
        # closed in a process that we start: one that outlives us must not hold a lock of ours;
        # a pipe that nobody writes to must not be waited for
        fd = os.open(path, flags | os.O_CLOEXEC | os.O_NONBLOCK, 0o644)
        kind = os.fstat(fd).st_mode
        if not (stat.S_ISREG(kind) or stat.S_ISDIR(kind)):
            os.close(fd)
            raise OSError(errno.EINVAL, "it is not a regular file", os.fspath(path))
        return fd

    def read_at(self, fd: int, size: int, offset: int) -> bytes:
        """At most `size` bytes from `offset`."""
        return os.pread(fd, size, offset)

    def write_at(self, fd: int, data: bytes, offset: int) -> int:
        """Write at `offset`; returns how many bytes were written, which may be fewer."""
        return os.pwrite(fd, data, offset)

    def truncate(self, fd: int, size: int) -> None:
        """Cut the file to `size` bytes."""
        os.ftruncate(fd, size)

    def sync(self, fd: int) -> None:
        """Return when the data, and the size that is needed to read it, are on the medium."""
        if _FULL_SYNC is not None:
            fcntl.fcntl(fd, _FULL_SYNC)
        else:
            _DATA_SYNC(fd)

    def sync_folder(self, fd: int) -> None:
        """Return when the names in an open folder are on the medium."""
        os.fsync(fd)

    def close(self, fd: int) -> None:
        """Close a descriptor."""
        os.close(fd)

    def identity(self, path: Path) -> tuple[int, int, int]:
        """Device, inode and size of what the path names now."""
        found = os.stat(path)
        return found.st_dev, found.st_ino, found.st_size

    def size(self, fd: int) -> int:
        """Size of an open file in bytes."""
        return os.fstat(fd).st_size

    def replace(self, source: Path, target: Path) -> None:
        """Rename over the target."""
        os.replace(source, target)

    def unlink(self, path: Path) -> None:
        """Remove a file; fine where there is none."""
        path.unlink(missing_ok=True)

    def exists(self, path: Path) -> bool:
        """Whether there is such a file. An error is one, never a no: a file taken for missing would
        be made afresh."""
        try:
            os.stat(path)
        except FileNotFoundError:
            return False
        return True


SYSTEM: Files = SystemFiles()


def open_bounded(path: Path, most: int) -> BufferedReader:
    """A file opened for reading, of at most so many bytes; it may grow beyond them later. The one
    way to open what the user names. Raises OSError, FileTooLarge."""
    fd = SYSTEM.open(path, os.O_RDONLY)
    try:
        if stat.S_ISDIR(os.fstat(fd).st_mode):
            raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR), os.fspath(path))
        if SYSTEM.size(fd) > most:
            raise FileTooLarge(path)
        return os.fdopen(fd, "rb")
    except BaseException:
        SYSTEM.close(fd)
        raise


def read_bounded(path: Path, most: int) -> bytes:
    """The bytes of a file that has at most so many. Raises OSError, FileTooLarge."""
    with open_bounded(path, most) as file:
        data = file.read(most + 1)
    if len(data) > most:
        raise FileTooLarge(path)
    return data


def digest_bounded(path: Path, most: int) -> str:
    """The SHA-256 of a file that has at most so many bytes, in hexadecimal digits. Raises OSError,
    FileTooLarge."""
    with open_bounded(path, most) as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def read_span(files: Files, fd: int, size: int, offset: int) -> bytes:
    """`size` bytes from `offset`, fewer only where the file ends. Raises OSError."""
    data = b""
    # a read may give less than was asked for
    while len(data) < size and (part := files.read_at(fd, size - len(data), offset + len(data))):
        data += part
    return data


def read_whole(files: Files, path: Path) -> bytes:
    """All bytes of a file. Raises OSError, FileTooLarge."""
    fd = files.open(path, os.O_RDONLY)
    try:
        size = files.size(fd)
        if size > LARGEST:
            raise FileTooLarge(path)
        data = files.read_at(fd, size + 1, 0)
        # a read may give less than was asked for, and the file may grow meanwhile
        while part := files.read_at(fd, 1 << 24, len(data)):
            data += part
            if len(data) > LARGEST:
                raise FileTooLarge(path)
        return data
    finally:
        files.close(fd)


def write_all(files: Files, fd: int, data: bytes, offset: int) -> None:
    """Write all of `data`, however often the system writes only a part."""
    done = 0
    while done < len(data):
        written = files.write_at(fd, data[done:], offset + done)
        if written <= 0:  # neither bytes nor an error: trying again would never end
            raise OSError(errno.EIO, os.strerror(errno.EIO))
        done += written


def write_new(path: Path, data: bytes) -> os.stat_result:
    """Write a file of ours that is in nobody's way, as under a hidden name: what is left of an
    earlier one is removed. Not synced. Raises OSError."""
    path.unlink(missing_ok=True)
    # O_EXCL: a link that somebody puts there meanwhile is not followed to a file of theirs
    fd = SYSTEM.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_NOFOLLOW)
    try:
        write_all(SYSTEM, fd, data, 0)
        return os.fstat(fd)
    finally:
        SYSTEM.close(fd)


def replace_durably(files: Files, path: Path, data: bytes) -> None:
    """Replace `path` by `data`: written beside it, synced, renamed over it, and the folder synced.

    A reader sees the old bytes or the new, never half. Raises OSError; the old file is then still
    whole."""
    with replacing(files, path) as write:
        write(data)


@contextlib.contextmanager
def replacing(files: Files, path: Path) -> Iterator[Callable[[bytes], None]]:
    """Gives what writes the next bytes of a file that replaces `path` when all is well, as
    `replace_durably` does.

    Raises OSError; where anything is raised the old file is still whole, and the new one is gone.
    """
    beside, fd = _beside(path), -1
    try:
        # a link or a file of somebody else's that lies there is an error, never written to
        fd = files.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_NOFOLLOW)
        try:
            done = 0

            def write(data: bytes) -> None:
                nonlocal done
                write_all(files, fd, data, done)
                done += len(data)

            yield write
            # before the rename, or a power cut may leave the new name without its bytes
            files.sync(fd)
        finally:
            files.close(fd)
        files.replace(beside, path)
    except BaseException as error:  # Ctrl+C as well: half a file is of no use to anybody
        # what could not be made is not ours
        if fd >= 0 or not isinstance(error, OSError):
            with contextlib.suppress(OSError):
                files.unlink(beside)
        raise
    sync_folder(files, path.parent)


def _beside(path: Path) -> Path:
    """A name for a new file that is renamed over `path`. Nobody can lay a link there beforehand,
    and no file of the user's is called so."""
    # in the same folder: a rename is one step only within a file system
    name = os.fsencode(path.name)[:_LONGEST].decode("utf-8", "ignore")
    return path.with_name(f"{name}.{os.urandom(8).hex()}{_NEW}")


def leftovers(path: Path) -> list[Path]:
    """New files that a killed program left beside `path`. Raises OSError."""
    ours = re.compile(rf"{re.escape(path.name)}\.[0-9a-f]{{16}}{re.escape(_NEW)}")
    return [path.with_name(name) for name in os.listdir(path.parent) if ours.fullmatch(name)]


def sync_folder(files: Files, folder: Path) -> None:
    """Make names in a folder durable."""
    fd = files.open(folder, os.O_RDONLY)
    try:
        files.sync_folder(fd)
    except OSError as error:
        # some network file systems cannot, and need not
        if error.errno not in (errno.EINVAL, errno.ENOTSUP):
            raise
    finally:
        files.close(fd)


def keep_aside(files: Files, path: Path, data: bytes) -> Path:
    """Write bytes that go out of use under the first free name `path-1`, `path-2`, …; returns the
    file. Raises OSError."""
    number = 1
    while files.exists(path.with_name(f"{path.name}-{number}")):
        number += 1
    kept = path.with_name(f"{path.name}-{number}")
    replace_durably(files, kept, data)
    return kept
