"""Which scan of which lot: one value that finds the file, is the key of its picture, and tells
whether what was read of its lot still holds."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import NamedTuple

Stamp = tuple[int, int] | None
"""Size in bytes and time of the last change (ns since 1970) of a file, None where there is none."""


@dataclass(frozen=True, slots=True)
class LotRef:
    """A lot as it was when it was looked at: the folder of its scans, the folder where it is kept
    (empty where only its scans are asked for), the stamps of its files then, and its name as it is
    shown. A lot that changed is another value, so nothing that was read of it before is taken for
    it."""

    folder: str
    home: str = ""
    stamps: tuple[Stamp, ...] = ()
    name: str = ""

    @property
    def text(self) -> str:
        """The value as a line of text, for an index that is kept in a file."""
        # JSON, since a folder's name may have any sign in it that could part the values.
        return json.dumps([self.folder, self.home, self.name, *self.stamps])

    @classmethod
    def read(cls, text: str) -> LotRef:
        """The value of a line of `text`, whatever lines follow. Raises ValueError for another
        line."""
        folder, home, name, *stamps = json.loads(text.partition("\n")[0])
        # JSON knows no tuples, and a list could not be the key of a picture.
        return cls(folder, home, tuple(stamp and tuple(stamp) for stamp in stamps), name)


@dataclass(frozen=True, slots=True)
class ScanRef:
    """A scan by its name in a lot, `lot` None for the one that is open."""

    lot: LotRef | None
    scan: str


class ScanStamp(NamedTuple):
    """A scan's file as it was: its size in bytes, its time of change in ns since 1970, and the
    digest of what is in it, empty where that was not read yet."""

    size: int
    time: int
    digest: str = ""

    def is_as(self, other: ScanStamp) -> bool:
        """Whether the file is still the same one, as far as is known."""
        # The digest before the time: a copy or a restored backup has another time and is the same
        # scan.
        if self.digest and other.digest:
            return self.digest == other.digest
        return self[:2] == other[:2]


class StampChange(NamedTuple):
    """What is known of a scan's file, before a change and after it; None for nothing."""

    scan: str
    before: ScanStamp | None
    after: ScanStamp | None


Stamped = tuple[tuple[str, ScanStamp | None], ...]
