"""What was measured on the scans of a folder, kept in the cache folder so that each scan is
measured once.

A file a folder of scans, a line a scan: `["crc32",{"scan","size","mtime","measured"}]`. An entry
counts while the scan's size and time of change are the same; what is damaged or of an older program
is ignored. Safe to delete."""

from __future__ import annotations

import hashlib
import json
import os
import zlib
from pathlib import Path
from typing import IO

from tagger.core.audit.measured import Measured, measured_from
from tagger.core.feeding.scan_files import scan_file
from tagger.errors import PictureError
from tagger.store.caches.folders import put

MADE_AS = "3"  # changes with what is measured and how
MOST_KEPT = 200  # folders of scans; those not used for longest go first

Stamp = tuple[int, int]  # size in bytes, time of change in ns


class MeasuredCache:
    """The measurements of one folder of scans. Nothing is raised: without it, scans are measured
    again."""

    def __init__(self, cache: Path, scans: Path) -> None:
        name = hashlib.sha256(f"{MADE_AS} ".encode() + os.fsencode(scans.resolve())).hexdigest()
        self._path, self._scans = cache / f"{name[:32]}.lines", scans
        self._known = self._read()
        self._changed = False

    def stamp(self, scan: str) -> Stamp | None:
        """Which state of a scan's file is there now; None where there is none."""
        try:
            found = os.stat(scan_file(self._scans, scan))
        except (OSError, PictureError):
            return None
        return found.st_size, found.st_mtime_ns

    def _read(self) -> dict[str, tuple[Stamp, Measured]]:
        known: dict[str, tuple[Stamp, Measured]] = {}
        try:
            lines = self._path.read_bytes().splitlines()
        except OSError:
            return known
        for line in lines:
            try:
                said, text = line[2:10], line[12:-1]
                if int(said, 16) != zlib.crc32(text):
                    continue
                entry = json.loads(text)
                stamp = (int(entry["size"]), int(entry["mtime"]))
                known[str(entry["scan"])] = (stamp, measured_from(entry["measured"]))
            except (ValueError, KeyError, TypeError, IndexError):
                continue
        return known

    def get(self, scan: str) -> Measured | None:
        """What was measured on a scan, if it is still the same file."""
        kept = self._known.get(scan)
        return kept[1] if kept is not None and kept[0] == self.stamp(scan) else None

    def put(self, scan: str, measured: Measured, stamp: Stamp | None) -> None:
        """Remember what was measured on the file that had this stamp before it was read; on disk
        after `keep`."""
        if stamp is not None and measured.state not in ("gone", "unreadable"):
            self._known[scan] = (stamp, measured)
            self._changed = True

    def keep(self) -> None:
        """Write what is new, for the scans that are still there; the file is replaced as a
        whole."""
        if not self._changed:
            return
        if put(self._path, self._write, MOST_KEPT):
            self._changed = False

    def _write(self, file: IO[bytes]) -> None:
        for scan, ((size, mtime), measured) in self._known.items():
            if self.stamp(scan) is None:
                continue
            entry = {"scan": scan, "size": size, "mtime": mtime, "measured": measured.document()}
            text = json.dumps(entry).encode()
            file.write(b'["%08x",%b]\n' % (zlib.crc32(text), text))
