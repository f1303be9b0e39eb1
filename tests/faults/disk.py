"""A disk in memory behind the store's file calls. It can fail at any call, and it knows what may be
left of it when the power goes: only what was synced is certain, and a name only once its folder was
synced."""

from __future__ import annotations

import errno
import os
import random
import threading
from collections.abc import Callable
from pathlib import Path

SECTOR = 512


class Inode:
    """A file: `data` is what programs read, `medium` what the medium surely holds, `pending` what
    is between the two: (offset, bytes) for a write, (size, None) for a cut."""

    def __init__(self, number: int, data: bytes = b"") -> None:
        self.number = number
        self.data = bytearray(data)
        self.medium = bytearray(data)
        self.pending: list[tuple[int, bytes | None]] = []

    def do(self, place: int, data: bytes | None) -> None:
        """A write or a cut, as programs see it from now on."""
        _put(self.data, place, data)
        self.pending.append((place, data))

    def sync(self) -> None:
        """What is pending is on the medium."""
        for place, data in self.pending:
            _put(self.medium, place, data)
        self.pending.clear()

    def after_cut(self, source: random.Random) -> bytes:
        """The file after a power cut: of each sector any version since the last sync, some torn in
        two; any size."""
        if not self.pending:
            return bytes(self.medium)
        image = bytearray(self.medium)
        sizes = [len(image)]
        versions: dict[int, list[bytes]] = {}
        for place, data in self.pending:
            start, end = (
                (place, max(len(image), place)) if data is None else (place, place + len(data))
            )
            _put(image, place, data)
            sizes.append(len(image))
            for sector in range(start // SECTOR, -(-end // SECTOR)):
                versions.setdefault(sector, []).append(_sector(image, sector))
        size = source.choice(sizes)
        if source.random() < 0.2:
            size = source.randint(min(sizes), max(sizes))
        luck = source.choice((0.0, 0.3, 0.7, 1.0))
        result = bytearray(max(sizes) + SECTOR)
        result[: len(self.medium)] = self.medium
        for sector, written in versions.items():
            old, new = (
                _sector(self.medium, sector),
                written[-1] if luck == 1.0 else source.choice(written),
            )
            if source.random() >= luck:
                continue
            torn = source.randrange(SECTOR) if source.random() < 0.2 else SECTOR
            result[sector * SECTOR : (sector + 1) * SECTOR] = new[:torn] + old[torn:]
        return bytes(result[:size])

    def forget(self, source: random.Random) -> None:
        """A sync failed: what was pending reached the medium or did not, and no later sync will see
        to it."""
        self.medium = bytearray(self.after_cut(source))
        self.pending.clear()


def _put(image: bytearray, place: int, data: bytes | None) -> None:
    if len(image) < place:
        image.extend(bytes(place - len(image)))
    if data is None:
        del image[place:]
    else:
        image[place : place + len(data)] = data


def _sector(image: bytearray, number: int) -> bytes:
    return bytes(image[number * SECTOR : (number + 1) * SECTOR]).ljust(SECTOR, b"\0")


class Disk:
    """The files of one folder. `before_call(name, size)` may raise OSError, and says how much of a
    write is done; `watch()` is called before and after each call takes effect."""

    def __init__(self, contents: dict[str, bytes] | None = None, seed: int = 0) -> None:
        self.calls = 0
        self.source = random.Random(seed)
        self.before_call: Callable[[str, int], int] = lambda name, size: size
        self.watch: Callable[[], None] = lambda: None
        self._mutex = threading.RLock()
        self._numbers = 0
        self._names = {name: self._inode(data) for name, data in (contents or {}).items()}
        self._synced = dict(self._names)
        self._renames: list[
            tuple[str, Inode | None, str]
        ] = []  # (name, what it names, name that it had before)
        self._open: dict[int, Inode | None] = {}

    def _inode(self, data: bytes = b"") -> Inode:
        self._numbers += 1
        return Inode(self._numbers, data)

    def contents(self) -> dict[str, bytes]:
        """The files as programs see them."""
        with self._mutex:
            return {name: bytes(inode.data) for name, inode in self._names.items()}

    def cut(self, source: random.Random) -> dict[str, bytes]:
        """The files as they may be after a power cut now."""
        with self._mutex:
            names = dict(self._synced)
            changes = self._renames[: source.randint(0, len(self._renames))]
            if source.random() < 0.3:
                changes = [change for change in self._renames if source.random() < 0.5]
            for change in changes:
                _rename(names, *change)
            left = {id(inode): inode.after_cut(source) for inode in names.values()}
            return {name: left[id(inode)] for name, inode in names.items()}

    def _call(self, name: str, size: int = 0) -> int:
        self.calls += 1
        self.watch()
        return self.before_call(name, size)

    def _change(self, name: str, inode: Inode | None, was: str = "") -> None:
        _rename(self._names, name, inode, was)
        self._renames.append((name, inode, was))
        self.watch()

    def _file(self, fd: int) -> Inode:
        inode = self._open.get(fd)
        if inode is None:
            raise OSError(errno.EBADF, os.strerror(errno.EBADF))
        return inode

    def _found(self, path: Path) -> Inode:
        if path.name not in self._names:
            raise FileNotFoundError(errno.ENOENT, os.strerror(errno.ENOENT))
        return self._names[path.name]

    def open(self, path: Path, flags: int) -> int:
        """A descriptor; anything opened that is no file here is the folder when it has no
        suffix."""
        with self._mutex:
            self._call("open")
            fd = 1000 + self.calls
            if not path.suffix:
                self._open[fd] = None
                return fd
            if flags & os.O_CREAT and path.name not in self._names:
                self._change(path.name, self._inode())
            inode = self._open[fd] = self._found(path)
            if flags & os.O_TRUNC and inode.data:
                inode.do(0, None)
                self.watch()
            return fd

    def read_at(self, fd: int, size: int, offset: int) -> bytes:
        with self._mutex:
            self._call("read_at")
            return bytes(self._file(fd).data[offset : offset + size])

    def write_at(self, fd: int, data: bytes, offset: int) -> int:
        with self._mutex:
            allowed = self._call("write_at", len(data))
            self._file(fd).do(offset, data[:allowed])
            self.watch()
            return min(allowed, len(data))

    def truncate(self, fd: int, size: int) -> None:
        with self._mutex:
            self._call("truncate")
            self._file(fd).do(size, None)
            self.watch()

    def sync(self, fd: int) -> None:
        with self._mutex:
            try:
                self._call("sync")
            except OSError:
                self._file(fd).forget(self.source)
                raise
            self._file(fd).sync()
            self.watch()

    def sync_folder(self, fd: int) -> None:
        with self._mutex:
            self._call("sync_folder")
            self._synced = dict(self._names)
            self._renames.clear()
            self.watch()

    def close(self, fd: int) -> None:
        with self._mutex:
            self._open.pop(fd, None)  # the descriptor is gone even where closing it tells an error
            self._call("close")

    def identity(self, path: Path) -> tuple[int, int, int]:
        with self._mutex:
            self._call("identity")
            inode = self._found(path)
            return 1, inode.number, len(inode.data)

    def size(self, fd: int) -> int:
        with self._mutex:
            self._call("size")
            return len(self._file(fd).data)

    def replace(self, source: Path, target: Path) -> None:
        with self._mutex:
            self._call("replace")
            self._change(target.name, self._found(source), source.name)

    def unlink(self, path: Path) -> None:
        with self._mutex:
            self._call("unlink")
            if path.name in self._names:
                self._change(path.name, None)

    def exists(self, path: Path) -> bool:
        with self._mutex:
            self._call("exists")
            return path.name in self._names


def _rename(names: dict[str, Inode], name: str, inode: Inode | None, was: str) -> None:
    names.pop(was, None)
    if inode is None:
        names.pop(name, None)
    else:
        names[name] = inode
