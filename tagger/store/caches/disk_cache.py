"""A cache on disk: many small sealed files in one folder, bounded, written in the background, safe
to delete at any time."""

from __future__ import annotations

import contextlib
import hashlib
from pathlib import Path
from queue import Full, Queue
from threading import Lock, Thread

from tagger.store.caches.sealed import bytes_taken, evict, keep_sealed, read_sealed, taken_by

MARK = b"tagger copy 1"
_ENVELOPE = 64  # bytes around a picture, about
LIMIT = 64_000_000  # bytes, with what a file takes on the disk
# files that may wait to be written; what comes while the disk is slower than that is not kept
WAITING = 64


class DiskCache:
    """Bytes by name. A file that cannot be read, or is gone, is as one that never was; nothing is
    ever raised."""

    def __init__(self, folder: Path, limit: int = LIMIT) -> None:
        self._folder = folder
        self._limit = limit
        self._queue: Queue[tuple[Path, bytes]] = Queue(WAITING)
        # bytes on disk as far as known; counted before the first writing
        self._total: int | None = None
        self._writer: Thread | None = None
        self._starting = Lock()

    def get(self, name: str) -> bytes | None:
        """What was put under a name, None where it is not there."""
        sealed = read_sealed(self._path(name), MARK)
        return None if sealed is None else bytes(sealed.body)

    def put(self, name: str, data: bytes) -> None:
        """Have this written. Returns at once; forgotten where too much waits already."""
        with contextlib.suppress(Full):
            self._queue.put_nowait((self._path(name), data))
        with self._starting:
            if self._writer is None:
                # leaving need not wait for it: a picture that was not kept is made again
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
            self._write(path, data)
            self._queue.task_done()

    def _write(self, path: Path, data: bytes) -> None:
        if self._total is None:
            self._total = bytes_taken(self._folder)
        if not keep_sealed(path, MARK, None, (data,)):
            return
        self._total += taken_by(len(data) + _ENVELOPE)
        if self._total > self._limit:
            # a quarter of the room is made free at once: to look at each file at each writing
            # would take longer than the pictures themselves
            self._total = evict(self._folder, None, self._limit * 3 // 4)
