"""What was found on the scans of a folder, kept in the cache folder so that each scan is looked at
once.

A sealed file a folder of scans and kind, whose head is a list of `[scan, size, time, found]`. An
entry counts while the scan's size and time of change are the same."""

from __future__ import annotations

import contextlib
import hashlib
import os
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any, Generic, NamedTuple, TypeVar

from tagger.core.feeding.scan_files import scan_file
from tagger.errors import MALFORMED, PictureError
from tagger.file_stamp import file_stamp
from tagger.store.caches.sealed import evict, keep_sealed, read_sealed

MOST_KEPT = 200  # folders of scans; those not used for longest go first

Stamp = tuple[int, int]  # `FileStamp.lasting`
Kept = TypeVar("Kept")


class Kind(NamedTuple, Generic[Kept]):
    """A kind of what is found: the mark and the ending of its files, plain values of it and back
    (which raises where they are none), and whether it lasts as long as the file."""

    mark: bytes
    ending: str
    document: Callable[[Kept], Any]
    read: Callable[[Any], Kept]
    lasts: Callable[[Kept], bool] = lambda found: True


class ScanCache(Generic[Kept]):
    """What is known of the scans of one folder, of one kind. Nothing is raised: without it, scans
    are looked at again."""

    def __init__(self, cache: Path, scans: Path, kind: Kind[Kept]) -> None:
        name = hashlib.sha256(os.fsencode(scans.resolve())).hexdigest()
        self._path, self._scans, self._kind = cache / f"{name[:32]}.{kind.ending}", scans, kind
        self._known = _read(self._path, kind)
        self._changed = False

    def stamp(self, scan: str) -> Stamp | None:
        """Which state of a scan's file is there now; None where there is none."""
        try:
            found = file_stamp(scan_file(self._scans, scan))
        except PictureError:
            return None
        return None if found is None else found.lasting

    def get(self, scan: str) -> Kept | None:
        """What is known of a scan, if it is still the same file."""
        kept = self._known.get(scan)
        return kept[1] if kept is not None and kept[0] == self.stamp(scan) else None

    def refresh(self, known: dict[str, Kept], scans: Iterable[str]) -> None:
        """Put into `known` what is kept of these scans; of those whose file is another by now
        nothing stays in it."""
        for scan in scans:
            kept = self.get(scan)
            if kept is not None:
                known[scan] = kept
            else:
                known.pop(scan, None)

    def put(self, scan: str, found: Kept, stamp: Stamp | None) -> None:
        """Remember what was found in the file that had this stamp before it was read; on disk after
        `keep`."""
        if stamp is not None and self._kind.lasts(found):
            self._known[scan] = (stamp, found)
            self._changed = True

    def keep(self) -> None:
        """Write what is new, for the scans that are still there; the file is replaced as a
        whole."""
        if not self._changed:
            return
        entries = [
            [scan, *stamp, self._kind.document(found)]
            for scan, (stamp, found) in self._known.items()
            if self.stamp(scan) is not None
        ]
        if keep_sealed(self._path, self._kind.mark, entries):
            evict(self._path.parent, MOST_KEPT, None)
            self._changed = False


def _read(path: Path, kind: Kind[Kept]) -> dict[str, tuple[Stamp, Kept]]:
    known: dict[str, tuple[Stamp, Kept]] = {}
    sealed = read_sealed(path, kind.mark)
    if sealed is None or not isinstance(sealed.head, list):
        return known
    # Each by itself: an entry that is none costs one scan's look, and not all.
    for entry in sealed.head:
        with contextlib.suppress(*MALFORMED):
            scan, size, time, found = entry
            known[str(scan)] = (int(size), int(time)), kind.read(found)
    return known
