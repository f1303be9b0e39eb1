"""The scans of a lot held against what they were when their cards were tagged: other pictures under
the same names are asked about, and a card whose scans have other names now goes with them.

Size and time of a file say that it is the same one; only where they differ is it read."""

from __future__ import annotations

import os
import stat
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.feeding.order import split_scan
from tagger.core.feeding.renaming import followed
from tagger.core.feeding.scan_files import scan_file
from tagger.core.model.scan_ref import ScanStamp
from tagger.errors import PictureError
from tagger.services.progress import Progress
from tagger.store.files import digest_bounded

if TYPE_CHECKING:
    from tagger.core.lot.view import LotView

DIGITS = 32  # of a digest that are kept, half of SHA-256: nobody forges a scan
LARGEST = 1 << 32  # bytes of a file that is read
AT_ONCE = 256 << 20  # bytes that are read before the first card is shown
AT_THE_END = 64 << 20  # bytes that are read before a lot is closed


class ScansChecked(NamedTuple):
    """What was found. `changed`: scans of tagged cards that are other files now, as they are;
    `touched`: those whose time alone is another one; `renamed`: the names that scans have now whose
    cards follow them; `unread`: those that there was no time to read."""

    changed: Mapping[str, ScanStamp]
    touched: Mapping[str, ScanStamp]
    renamed: Mapping[str, str]
    unread: tuple[str, ...]


def file_of(folder: Path, scan: str) -> str:
    """The file of a scan, of which nothing is believed that a lot's document says. Raises
    PictureError."""
    # the plain name of a file in the lot's own folder is nearly every one
    if "/" in scan or "#" in scan:
        return os.fspath(scan_file(folder, scan))
    return f"{folder}/{scan}"


def stamp_of(folder: Path, scan: str) -> ScanStamp | None:
    """Which file a scan is, without reading it; None where there is none."""
    try:
        found = os.stat(file_of(folder, scan))
    except (OSError, ValueError, PictureError):
        return None
    if not stat.S_ISREG(found.st_mode):
        return None
    return ScanStamp(found.st_size, found.st_mtime_ns)


def digested(folder: Path, scans: Iterable[str], room: int | None = None) -> dict[str, ScanStamp]:
    """Which files these scans are, by what is in them; without those that cannot be read, and those
    for which there is no `room` in bytes."""
    found: dict[str, ScanStamp] = {}
    for scan in dict.fromkeys(scans):
        if (stamp := _read(folder, scan)) is None:
            continue
        found[scan] = stamp
        if room is not None and (room := room - stamp.size) < 0:
            break
    return found


def _read(folder: Path, scan: str) -> ScanStamp | None:
    before = stamp_of(folder, scan)
    if before is None:
        return None
    try:
        digest = digest_bounded(Path(file_of(folder, scan)), LARGEST)
    except OSError:
        return None
    # one that is being written is read again when it is asked for the next time
    if stamp_of(folder, scan) != before:
        return None
    return before._replace(digest=digest[:DIGITS])


def check_scans(
    folder: Path, lot: LotView, names: Sequence[str], patient: bool = True
) -> ScansChecked:
    """What became of the scans of tagged cards; `names` are those of the folder. `patient` reads
    whatever has to be read, else no more than AT_ONCE."""
    suspects = dict(_suspects(folder, lot))
    if not suspects:
        return ScansChecked({}, {}, {}, ())
    with Progress("scans compared") as progress:
        return _Check(folder, lot, suspects, None if patient else AT_ONCE, progress).of(names)


def _suspects(folder: Path, lot: LotView) -> Iterator[tuple[str, ScanStamp | None]]:
    """The scans whose files are not as they were by size and time; None for one that is not
    there. Those of cards that are untagged by now are among them: undo may bring their tags."""
    for scan, was in lot.stamps.items():
        if not _is_same(folder, scan, was) and lot.arrangement.card_with(scan) is not None:
            yield scan, stamp_of(folder, scan)


def _is_same(folder: Path, scan: str, was: ScanStamp) -> bool:
    # asked of each tagged card at each opening, so nothing is made of the answer
    try:
        found = os.stat(file_of(folder, scan))
    except (OSError, ValueError, PictureError):
        return False
    return found.st_mtime_ns == was.time and found.st_size == was.size


class _Check:
    """One check; `suspects` are the scans that are not as they were."""

    def __init__(
        self,
        folder: Path,
        lot: LotView,
        suspects: Mapping[str, ScanStamp | None],
        room: int | None,
        progress: Progress,
    ) -> None:
        self._folder, self._lot, self._suspects = folder, lot, suspects
        self._room, self._progress = room, progress
        self._read: dict[str, ScanStamp] = {}

    def of(self, names: Sequence[str]) -> ScansChecked:
        """What became of them."""
        there = [scan for scan, now in self._suspects.items() if now is not None]
        unread = [scan for scan in there if self._is_in_doubt(scan) and not self._can_read(scan)]
        self._progress.at(1, 1)
        now = {scan: self._now(scan) for scan in there if scan not in unread}
        stamps = self._lot.stamps
        changed = {scan: stamp for scan, stamp in now.items() if not stamps[scan].is_as(stamp)}
        touched = {scan: stamp for scan, stamp in now.items() if scan not in changed}
        settled = {*touched, *unread}
        lost = filter(self._is_tagged, (scan for scan in self._suspects if scan not in settled))
        renamed = self._renamed([*lost], names)
        return ScansChecked(self._with_digests(changed), touched, renamed, tuple(unread))

    def _is_tagged(self, scan: str) -> bool:
        pair = self._lot.arrangement.card_with(scan)
        return pair is not None and self._lot.mark(pair.id).named

    def _is_in_doubt(self, scan: str) -> bool:
        """Whether a file may be the same one though its time is another."""
        was, now = self._lot.stamps[scan], self._suspects[scan]
        return now is not None and bool(was.digest) and was.size == now.size

    def _now(self, scan: str) -> ScanStamp:
        now = self._read.get(scan) or self._suspects[scan]
        assert now is not None
        return now

    def _with_digests(self, changed: Mapping[str, ScanStamp]) -> dict[str, ScanStamp]:
        """What is accepted for a card that was scanned again is what is in the file."""
        for scan in changed:
            self._can_read(scan)
        return {scan: self._now(scan) for scan in changed}

    def _can_read(self, scan: str) -> bool:
        """Read a file, if it can be read and there is room for it."""
        if scan in self._read:
            return True
        size = (stamp_of(self._folder, scan) or ScanStamp(0, 0)).size
        if self._room is not None:
            if size > self._room:
                return False
            self._room -= size
        self._progress.at(len(self._read), len(self._suspects))
        found = digested(self._folder, [scan])
        self._read.update(found)
        return scan in found

    def _renamed(self, lost: Sequence[str], names: Sequence[str]) -> dict[str, str]:
        """The scans that lie in the folder under another name, as far as their cards can follow."""
        stamps = self._lot.stamps
        known = [scan for scan in lost if stamps[scan].digest]
        if not known:
            return {}
        sizes = {stamps[scan].size for scan in known}
        free = self._free(names, sizes)
        renamed: dict[str, str] = {}
        for scan in known:
            places = free.get((stamps[scan].digest, _part(scan)))
            if places:
                renamed[scan] = places.pop(0)
        arrangement = self._lot.arrangement
        return followed(arrangement, self._lot.marks, renamed)

    def _free(self, names: Sequence[str], sizes: Iterable[int]) -> dict[tuple[str, str], list[str]]:
        """The scans of the folder that may be another one under a new name, by what is in them and
        which part of their file they are."""
        free: defaultdict[tuple[str, str], list[str]] = defaultdict(list)
        for name in names:
            # one that is known and is as it was is its own card's
            if name in self._lot.stamps and name not in self._suspects:
                continue
            now = stamp_of(self._folder, name)
            if now is not None and now.size in sizes and self._can_read(name):
                free[self._read[name].digest, _part(name)].append(name)
        return free


def _part(scan: str) -> str:
    """Which part of its file a scan is, empty where it is all of it."""
    return scan[len(split_scan(scan)[0]) :]
