"""A cache on disk: many small files in one folder, bounded, written in the background, safe to
delete at any time."""

from __future__ import annotations

import contextlib
import hashlib
import os
from pathlib import Path
from queue import Full, Queue
from threading import Lock, Thread

LIMIT = 64_000_000  # bytes, with what a file takes on the disk
# files that may wait to be written; what comes while the disk is slower than that is not kept
WAITING = 64
_BLOCK = 4096  # bytes that a small file takes at least


class DiskCache:
    """Bytes by name. A file that cannot be read, or is gone, is as one that never was; nothing is
    ever raised."""

    def __init__(self, folder: Path, limit: int = LIMIT) -> None:
        self._folder = folder
        self._limit = limit
        self._queue: Queue[tuple[Path, bytes]] = Queue(WAITING)
        self._total: int | None = (
            None  # bytes on disk as far as known; counted before the first writing
        )
        self._writer: Thread | None = None
        self._starting = Lock()

    def get(self, name: str) -> bytes | None:
        """What was put under a name, None where it is not there."""
        try:
            return self._path(name).read_bytes()
        except OSError:
            return None

    def put(self, name: str, data: bytes) -> None:
        """Have this written. Returns at once; forgotten where too much waits already."""
        with contextlib.suppress(Full):
            self._queue.put_nowait((self._path(name), data))
        with self._starting:
            if self._writer is None:
                self._writer = Thread(target=self._work, daemon=True, name="small files")
                self._writer.start()

    def settle(self) -> None:
        """Wait until all that was put is written or given up."""
        self._queue.join()

    def _path(self, name: str) -> Path:
        digest = hashlib.sha256(name.encode("utf-8", "surrogatepass")).hexdigest()
        return self._folder / digest[:2] / digest[2:40]

    def _work(self) -> None:
        while True:
            path, data = self._queue.get()
            with contextlib.suppress(OSError):
                self._write(path, data)
            self._queue.task_done()

    def _write(self, path: Path, data: bytes) -> None:
        if self._total is None:
            self._total = sum(size for _, size, _ in self._files())
        path.parent.mkdir(parents=True, exist_ok=True)
        new = path.with_name(f"{path.name}.{os.getpid()}")
        try:
            new.write_bytes(data)
            new.replace(path)
        except OSError:
            new.unlink(missing_ok=True)
            raise
        self._total += _taken(len(data))
        if self._total > self._limit:
            self._thin_out()

    def _thin_out(self) -> None:
        """Delete the oldest files until a quarter of the room is free."""
        files = sorted(self._files())
        total = sum(size for _, size, _ in files)
        for _, size, path in files:
            if total <= self._limit * 3 // 4:
                break
            with contextlib.suppress(OSError):
                os.unlink(path)
            total -= size
        self._total = total

    def _files(self) -> list[tuple[float, int, str]]:
        """(time of writing, bytes taken, path) of each file."""
        found = []
        for part in range(256):
            with contextlib.suppress(OSError), os.scandir(self._folder / f"{part:02x}") as entries:
                for entry in entries:
                    with contextlib.suppress(OSError):
                        about = entry.stat(follow_symlinks=False)
                        found.append((about.st_mtime, _taken(about.st_size), entry.path))
        return found


def _taken(size: int) -> int:
    return -(-size // _BLOCK) * _BLOCK
