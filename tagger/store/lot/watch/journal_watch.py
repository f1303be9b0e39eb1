"""Notices what another hand did to a journal that is open: a restore, a sync tool or a program on a
file system without locks asks nobody."""

from __future__ import annotations

import errno
import os
from pathlib import Path

from tagger.store.files import Files, read_span

_TAIL = 4096  # bytes, of the last line, that are looked at before the next one


class Broken(OSError):
    """The file cannot be trusted to take more; what it holds up to the last acknowledged record is
    whole."""


class WrittenElsewhere(Broken):
    """Another program has added to the file; what was acknowledged is still in it."""

    def __init__(self) -> None:
        super().__init__(errno.EBUSY, "another program has written to the lot")


class Replaced(Broken):
    """The file is another one now, or was cut or overwritten: what was acknowledged may be gone."""

    def __init__(self) -> None:
        super().__init__(errno.EBUSY, "another program has replaced lot.journal")


class JournalWatch:
    """How a file that is appended to was left: which file it is, and its last bytes."""

    def __init__(self, files: Files, path: Path, fd: int, end: int) -> None:
        """Raises OSError."""
        self._files, self._path = files, path
        self._identity = files.identity(path)[:2]
        size = min(end, _TAIL)
        self._tail = read_span(files, fd, size, end - size)

    def left(self, line: bytes) -> None:
        """This line was written behind all others."""
        self._tail = line[-_TAIL:]

    def check(self, fd: int, end: int) -> int:
        """The file to go on in, of `end` bytes: the open one, or the one that the path names now
        where that has the same bytes, as a sync tool may have written it anew.

        Raises Replaced, WrittenElsewhere, OSError."""
        # by the path, and not by the open file: another program may have replaced it
        try:
            device, inode, size = self._files.identity(self._path)
        except FileNotFoundError:
            # a folder that is gone may come back, as where a drive was unplugged
            if os.path.isdir(self._path.parent):
                raise Replaced from None
            raise
        if size < end:
            raise Replaced
        if (device, inode) != self._identity:
            fd = self._in_new_file(fd, end, size)
        elif not self._ends_as_left(fd, end):
            raise Replaced
        if size > end:
            raise WrittenElsewhere
        return fd

    def _ends_as_left(self, fd: int, end: int) -> bool:
        size = len(self._tail)
        return read_span(self._files, fd, size, end - size) == self._tail

    def _in_new_file(self, fd: int, end: int, size: int) -> int:
        """The file that the path names now, opened in place of `fd` where it is that and no more;
        `fd` where it only begins so. Raises Replaced, OSError."""
        new = self._files.open(self._path, os.O_RDWR | os.O_NOFOLLOW)
        try:
            ours = read_span(self._files, fd, end, 0)
            same = len(ours) == end and read_span(self._files, new, end, 0) == ours
            if not (same and self._ends_as_left(new, end)):
                raise Replaced
            identity = self._files.identity(self._path)[:2]
        except OSError:
            self._files.close(new)
            raise
        if size > end:
            self._files.close(new)
            return fd
        self._files.close(fd)
        self._identity = identity
        return new
