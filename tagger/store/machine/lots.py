"""The lots opened on this machine: a list that can be lost without loss, since opening a lot puts
it back."""

from __future__ import annotations

import os
import time
from collections.abc import Mapping
from dataclasses import dataclass
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
    """The list in its file `lots.json`. It is read at each question: other sittings write it."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def opened(self, place: LotPlace) -> None:
        """Note that a lot was opened. Silent where the list cannot be written: it is a
        convenience."""
        self._file().put(os.fspath(place.folder), KnownLot(place, time.time(), None))

    def home_of(self, folder: Path) -> Path | None:
        """Where the tags of a folder were kept when it was opened last."""
        return next(
            (
                known.place.home
                for known in self._entries()
                if known.place.folder == folder.resolve()
            ),
            None,
        )

    def places(self) -> list[LotPlace]:
        """Where all lots on the list are, the one opened last first; none of them is looked at."""
        return [known.place for known in self._entries()]

    def lots(self) -> list[KnownLot]:
        """All lots on the list, the one opened last first, each with how far it is now."""
        found = []
        for known in self._entries():
            try:
                counts = read_lot(known.place.home).counts() if known.place.kept else None
            except LotError:
                counts = None
            found.append(KnownLot(known.place, known.opened, counts))
        return found

    def _entries(self) -> list[KnownLot]:
        return sorted(self._file().values(), key=lambda lot: -lot.opened)

    def _file(self) -> StateFile[KnownLot]:
        return StateFile(self._folder, "lots", "folder", _known, _fields)


def _fields(known: KnownLot) -> dict[str, Any]:
    return {"home": os.fspath(known.place.home), "opened": known.opened}


def _known(entry: Mapping[str, Any]) -> KnownLot:
    place = LotPlace(Path(entry["folder"]), Path(entry["home"]))
    return KnownLot(place, float(entry["opened"]), None)
