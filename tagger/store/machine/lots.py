"""The lots opened on this machine: a list that can be lost without loss, since opening a lot puts
it back."""

from __future__ import annotations

import os
import time
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from tagger.core.lot.view import Counts
from tagger.errors import LotError
from tagger.store.lot.lot_file import read_lot
from tagger.store.machine.paths import LotPlace
from tagger.store.machine.state_file import StateFile


@dataclass(frozen=True)
class KnownLot:
    """A lot on the list. `opened` is in seconds since 1970; `counts` is None where the lot cannot
    be read now."""

    place: LotPlace
    opened: float
    counts: Counts | None


class LotList:
    """The list in its file `lots.json`, read at each question."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def opened(self, place: LotPlace) -> None:
        """Note that a lot was opened. Silent where the list cannot be written: it is a
        convenience."""
        self._file().put(os.fspath(place.folder), KnownLot(place, time.time(), None))

    def home_of(self, folder: Path) -> Path | None:
        """Where the tags of a folder were kept when it was opened last."""
        folder = folder.resolve()
        return next((place.home for place in self.places() if place.folder == folder), None)

    def places(self) -> list[LotPlace]:
        """Where all lots on the list are, the one opened last first; none of them is looked at."""
        return [known.place for known in self._entries()]

    def lots(self) -> list[KnownLot]:
        """All lots on the list, the one opened last first, each with how far it is now."""
        return [replace(known, counts=_counts(known.place)) for known in self._entries()]

    def _entries(self) -> list[KnownLot]:
        return sorted(self._file().values(), key=lambda lot: -lot.opened)

    def _file(self) -> StateFile[KnownLot]:
        # a new one each time, for a StateFile reads once: other sittings write the list meanwhile
        return StateFile(self._folder, "lots", "folder", _known, _fields)


def _counts(place: LotPlace) -> Counts | None:
    if not place.kept:
        return None
    try:
        return read_lot(place.home).counts()
    except LotError:  # on a disk that is not there, or damaged: the list is told all the same
        return None


def _fields(known: KnownLot) -> dict[str, Any]:
    return {"home": os.fspath(known.place.home), "opened": known.opened}


def _known(entry: Mapping[str, Any]) -> KnownLot:
    place = LotPlace(Path(entry["folder"]), Path(entry["home"]))
    return KnownLot(place, float(entry["opened"]), None)
