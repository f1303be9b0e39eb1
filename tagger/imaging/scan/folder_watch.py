"""Scans that appear while the lot is open: the feeder is still running. Each joins once its file is
whole.

Network folders say little: the time of a folder is looked at first, but all is listed every LIST
seconds whatever it says. Nothing is watched by the system, and no thread runs here: whoever asks
decides when."""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from tagger.core.feeding.order import feeding_key, feeding_order, split_scan
from tagger.errors import LotError
from tagger.file_stamp import FileStamp, file_stamp
from tagger.imaging.scan.file_integrity import Wholeness, check_file
from tagger.imaging.scan.folder import list_files, places, scans_in

SOON, SELDOM = 1.0, 5.0  # seconds to the next look, while something comes and when nothing does
LIST = (
    15.0  # seconds after which all files are listed, even if no folder says that something changed
)
PATIENCE = 30.0  # seconds after which a file that stays unfinished and unchanged is taken as it is

Stamp = tuple[int, int]  # `FileStamp.lasting`


@dataclass(frozen=True)
class Arrived:
    """The lot's scans as they are now, in feeding order, and those of them whose files are new or
    were replaced."""

    scans: tuple[str, ...]
    fresh: frozenset[str]


class Arrivals:
    """Looks for scans in a lot's folder and in those joined to it. `seen` are the scans that the
    lot has already.

    `clock` gives seconds that only rise.
    """

    def __init__(
        self,
        folder: Path,
        joined: Sequence[str] = (),
        seen: Sequence[str] = (),
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        self._places = places(folder, joined)
        self._clock = clock
        self._pages: dict[str, list[str]] = {}
        for scan in seen:
            self._pages.setdefault(split_scan(scan)[0], []).append(scan)
        self._known: dict[str, Stamp | None] = dict.fromkeys(self._pages)
        self._waiting: dict[str, tuple[Stamp, float]] = {}
        self._times: dict[str, int] = {}
        self._listed = -LIST
        self._first = True
        self.pause = SOON

    def look(self) -> Arrived | None:
        """What can be taken in now; None where nothing came since the last look. A folder that
        cannot be read just now is looked at again the next time."""
        now = self._clock()
        try:
            found = self._files(now)
        except (OSError, LotError):
            self.pause = min(SELDOM, self.pause * 1.5)
            return None
        if found is None:
            self.pause = min(SELDOM, self.pause * 1.5)
            return None
        if self._first:  # what is there at the opening is in the lot, whole or not
            self._first = False
            self._known.update((file, found.get(file)) for file in self._known)
        ready = self._ready(found, now)
        self.pause = SOON if ready or self._waiting else min(SELDOM, self.pause * 1.5)
        if not ready:
            return None
        fresh: set[str] = set()
        for file in ready:
            self._known[file] = found[file]
            del self._waiting[file]
            self._pages[file] = scans_in(self._path(file), file)
            fresh.update(self._pages[file])
        names = feeding_order(scan for file in self._known for scan in self._pages.get(file, ()))
        return Arrived(tuple(names), frozenset(fresh))

    def _files(self, now: float) -> dict[str, Stamp] | None:
        """Size and time of each file that holds scans; None where no folder has changed and nothing
        waits."""
        times = {
            prefix: FileStamp.of(os.stat(place)).mtime_ns for prefix, place in self._places.items()
        }
        if times == self._times and not self._waiting and now - self._listed < LIST:
            return None
        found: dict[str, Stamp] = {}
        for prefix, place in self._places.items():
            for name in list_files(place)[0]:
                stamp = file_stamp(place / name)
                if stamp is not None:
                    found[prefix + name] = stamp.lasting
        self._times, self._listed = times, now
        return found

    def _ready(self, found: dict[str, Stamp], now: float) -> list[str]:
        """The files that can be taken, those that are new only as far as no earlier one is still
        unfinished."""
        changed = {file for file, stamp in found.items() if self._known.get(file) != stamp}
        self._waiting = {file: kept for file, kept in self._waiting.items() if file in changed}
        ready: list[str] = []
        blocked = False
        for file in sorted(changed, key=feeding_key):
            stamp, since = self._waiting.get(file, (None, now))
            if stamp != found[file]:
                self._waiting[file] = (found[file], now)
                finished = False
            else:
                finished = now - since >= PATIENCE or self._whole(file)
            if file not in self._known:
                blocked = blocked or not finished
                finished = not blocked
            if finished:
                ready.append(file)
        return ready

    def _path(self, file: str) -> Path:
        prefix, name = file[: file.rfind("/") + 1], file[file.rfind("/") + 1 :]
        return self._places[prefix] / name

    def _whole(self, file: str) -> bool:
        try:
            return check_file(self._path(file).read_bytes()).state in (
                Wholeness.WHOLE,
                Wholeness.CORRUPT,
            )
        except OSError:
            return False
