"""Which state of a file is there now, told without reading it."""

from __future__ import annotations

import os
from pathlib import Path
from typing import NamedTuple


class FileStamp(NamedTuple):
    """Size in bytes, time of the last change in ns since 1970, and inode of a file.

    All three count where a wrong "changed" costs no more than a picture read again: a file that is
    renamed over another within one tick of the clock, with as many bytes, differs in its inode
    alone. What is kept from one sitting to the next, and what a scan's arrival is told by, counts
    `lasting` only."""

    size: int
    mtime_ns: int
    inode: int

    @property
    def lasting(self) -> tuple[int, int]:
        """Size and time. Network file systems may number their files afresh at each mount, or
        whenever the kernel forgets one; by the inode, a whole lot would be measured again."""
        return self.size, self.mtime_ns

    @classmethod
    def of(cls, found: os.stat_result) -> FileStamp:
        """The stamp of a file that was asked for already."""
        return cls(found.st_size, found.st_mtime_ns, found.st_ino)


def file_stamp(path: Path, follow: bool = True) -> FileStamp | None:
    """The stamp of what a path names now, None where that is nothing or cannot be told. With
    `follow` false a link is asked for itself, and not what it leads to."""
    try:
        return FileStamp.of(os.stat(path, follow_symlinks=follow))
    except OSError:
        return None
