"""Scans that appear while the lot is open: the feeder is still running. Each joins once its file is
whole.

Network folders say little: the time of a folder is looked at first, but all is listed every LIST
seconds whatever it says. Nothing is watched by the system, and no thread runs here: whoever asks
decides when."""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from tagger.core.feeding.order import feeding_key, feeding_order, split_scan
from tagger.errors import LotError
from tagger.file_stamp import FileStamp, file_stamp
from tagger.imaging.scan.file_integrity import Wholeness, check_file
from tagger.imaging.scan.folder import list_files, places, scans_in

SOON, SELDOM = 1.0, 5.0  # seconds to the next look, while something comes and when nothing does
# seconds after which all files are listed, even if no folder says that something changed
LIST = 15.0
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
        found = self._files_or_none(now)
        ready: list[str] = []
        if found is not None:
            self._note_first(found)
            ready = self._ready(found, now)
        if found is not None and (ready or self._waiting):
            self.pause = SOON
        else:
            self.pause = min(SELDOM, self.pause * 1.5)
        return self._arrived(found, ready) if found is not None and ready else None

    def _note_first(self, found: dict[str, Stamp]) -> None:
        """What is there at the opening is in the lot, whole or not."""
        if self._first:
            self._first = False
            self._known.update((file, found.get(file)) for file in self._known)

    def _arrived(self, found: dict[str, Stamp], ready: Sequence[str]) -> Arrived:
        fresh: set[str] = set()
        for file in ready:
            self._known[file] = found[file]
            del self._waiting[file]
            self._pages[file] = scans_in(self._path(file), file)
            fresh.update(self._pages[file])
        names = feeding_order(scan for file in self._known for scan in self._pages.get(file, ()))
        return Arrived(tuple(names), frozenset(fresh))

    def _files_or_none(self, now: float) -> dict[str, Stamp] | None:
        try:
            return self._files(now)
        except (OSError, LotError):
            return None

    def _files(self, now: float) -> dict[str, Stamp] | None:
        """Size and time of each file that holds scans; None where no folder has changed and nothing
        waits."""
        times = {
            prefix: FileStamp.of(os.stat(place)).mtime_ns for prefix, place in self._places.items()
        }
        if times == self._times and not self._waiting and now - self._listed < LIST:
            return None
        found = dict(self._stamps())
        self._times, self._listed = times, now
        return found

    def _stamps(self) -> Iterator[tuple[str, Stamp]]:
        for prefix, place in self._places.items():
            for name in list_files(place)[0]:
                # None where it went between the listing and now.
                stamp = file_stamp(place / name)
                if stamp is not None:
                    yield prefix + name, stamp.lasting

    def _ready(self, found: dict[str, Stamp], now: float) -> list[str]:
        """The files that can be taken, those that are new only as far as no earlier one is still
        unfinished."""
        changed = {file for file, stamp in found.items() if self._known.get(file) != stamp}
        self._waiting = {file: kept for file, kept in self._waiting.items() if file in changed}
        ready: list[str] = []
        blocked = False
        for file in sorted(changed, key=feeding_key):
            finished = self._is_finished(file, found[file], now)
            # Taken in before an earlier one, a scan would be paired with the wrong neighbour. One
            # that was replaced has its card already.
            if file not in self._known:
                blocked = blocked or not finished
                finished = not blocked
            if finished:
                ready.append(file)
        return ready

    def _is_finished(self, file: str, stamp: Stamp, now: float) -> bool:
        """Whether a file is whole, or has not changed for so long that it is taken as it is."""
        before, since = self._waiting.get(file, (None, now))
        # What changed since the last look is still being written, however whole it looks.
        if before != stamp:
            self._waiting[file] = (stamp, now)
            return False
        return now - since >= PATIENCE or self._is_whole(file)

    def _path(self, file: str) -> Path:
        prefix, name = file[: file.rfind("/") + 1], file[file.rfind("/") + 1 :]
        return self._places[prefix] / name

    def _is_whole(self, file: str) -> bool:
        try:
            state = check_file(self._path(file).read_bytes()).state
        except OSError:
            return False
        # What is damaged inside gets no better by waiting.
        return state in (Wholeness.WHOLE, Wholeness.CORRUPT)
