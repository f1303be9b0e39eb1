"""What was measured on the scans of a folder, kept in the cache folder so that each scan is
measured once.

A sealed file a folder of scans, whose head is a list of `[scan, size, time, measured]`. An entry
counts while the scan's size and time of change are the same."""

from __future__ import annotations

import contextlib
import hashlib
import os
from pathlib import Path

from tagger.core.audit.measured import Measured, measured_from
from tagger.core.feeding.scan_files import scan_file
from tagger.errors import PictureError
from tagger.file_stamp import file_stamp
from tagger.store.caches.sealed import evict, keep_sealed, read_sealed

# the number changes with what is measured and how, so that nothing of an older program is used
MARK = b"tagger measured 6"
MOST_KEPT = 200  # folders of scans; those not used for longest go first

Stamp = tuple[int, int]  # `FileStamp.lasting`


class MeasuredCache:
    """The measurements of one folder of scans. Nothing is raised: without it, scans are measured
    again."""

    def __init__(self, cache: Path, scans: Path) -> None:
        name = hashlib.sha256(os.fsencode(scans.resolve())).hexdigest()
        self._path, self._scans = cache / f"{name[:32]}.measured", scans
        self._known = _read(self._path)
        self._changed = False

    def stamp(self, scan: str) -> Stamp | None:
        """Which state of a scan's file is there now; None where there is none."""
        try:
            found = file_stamp(scan_file(self._scans, scan))
        except PictureError:
            return None
        return None if found is None else found.lasting

    def get(self, scan: str) -> Measured | None:
        """What was measured on a scan, if it is still the same file."""
        kept = self._known.get(scan)
        return kept[1] if kept is not None and kept[0] == self.stamp(scan) else None

    def put(self, scan: str, measured: Measured, stamp: Stamp | None) -> None:
        """Remember what was measured on the file that had this stamp before it was read; on disk
        after `keep`."""
        # what could not be read may be readable again without the file being another one
        if stamp is not None and measured.state not in ("gone", "unreadable"):
            self._known[scan] = (stamp, measured)
            self._changed = True

    def keep(self) -> None:
        """Write what is new, for the scans that are still there; the file is replaced as a
        whole."""
        if not self._changed:
            return
        entries = [
            [scan, *stamp, measured.document()]
            for scan, (stamp, measured) in self._known.items()
            if self.stamp(scan) is not None
        ]
        if keep_sealed(self._path, MARK, entries):
            evict(self._path.parent, MOST_KEPT, None)
            self._changed = False


def _read(path: Path) -> dict[str, tuple[Stamp, Measured]]:
    known: dict[str, tuple[Stamp, Measured]] = {}
    sealed = read_sealed(path, MARK)
    if sealed is None or not isinstance(sealed.head, list):
        return known
    # Each by itself: an entry that is none costs one scan's measuring, and not all.
    for entry in sealed.head:
        with contextlib.suppress(ValueError, KeyError, TypeError, IndexError):
            scan, size, time, measured = entry
            known[str(scan)] = (int(size), int(time)), measured_from(measured)
    return known
