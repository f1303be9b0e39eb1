"""Lots of other stations as they were pulled from the hub: kept like lots of this machine, each as
a journal, so that whatever reads lots reads them. Nothing here is changed but by the next pull."""

from __future__ import annotations

import contextlib
import json
import shutil
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from pathlib import Path
from typing import Any, NamedTuple

from tagger.core.model.text import fold, printable
from tagger.errors import MALFORMED, HubError
from tagger.file_stamp import FileStamp, file_stamp
from tagger.store.files import SYSTEM, read_bounded, replace_durably
from tagger.store.lot.journal import JOURNAL, Draft
from tagger.store.machine.paths import LotPlace, data_folder, pulled_folder

_LIST = "hub.json"
_MOST = 1 << 28
_LATEST = 1e11  # seconds: in the year 5138
_FORMAT = 1


class KnownStation(NamedTuple):
    """Another station: its name, and when it published last, in seconds since 1970 by the hub's
    clock."""

    name: str
    said: float


class PulledLot(NamedTuple):
    """A lot of another station: whose it is, what it is called there, its part of stock numbers,
    and which publication of it is here."""

    station: str
    name: str
    part: str
    mark: str


@dataclass(frozen=True)
class Pulled:
    """All that was pulled: stations and lots by their identities. `here` and `there` are when that
    was, by this machine's clock and the hub's, 0 where it never was."""

    stations: Mapping[str, KnownStation] = field(default_factory=dict)
    lots: Mapping[str, PulledLot] = field(default_factory=dict)
    here: float = 0.0
    there: float = 0.0

    def ages(self, now: float) -> Iterator[tuple[str, float]]:
        """(name, seconds since it published last) of each station; told by the hub's clock, since
        the clocks of two machines differ."""
        for station in sorted(self.stations.values()):
            yield station.name, max(0.0, now - self.here) + max(0.0, self.there - station.said)

    def places(self) -> list[LotPlace]:
        """Where the lots are kept; each is called by its name and its station's."""
        # asked once: where it is follows from the environment, which takes a while for each lot
        folder, found, taken = pulled_folder(), list[LotPlace](), set[str]()
        for id, lot in self.lots.items():
            name = f"{lot.name} at {self.stations[lot.station].name}"
            if fold(name) in taken:
                name = f"{name} ({id[:4]})"
            taken.add(fold(name))
            home = folder / id
            # its scans are at its station
            found.append(LotPlace(home / "scans", home, name))
        return found


def read_pulled() -> Pulled:
    """What was pulled, nothing where that cannot be read: it can be pulled again."""
    # a command asks for lots and for ages, and the list of thousands of lots takes a while to read
    path = data_folder() / _LIST
    return _read_as(path, file_stamp(path))


@lru_cache(1)
def _read_as(path: Path, stamp: FileStamp | None) -> Pulled:
    """What a file holds that is still as the stamp says."""
    if stamp is None:
        return Pulled()
    try:
        said = json.loads(read_bounded(path, _MOST))
        if said["format"] != _FORMAT:
            return Pulled()
        stations = {id: KnownStation(str(n), _time(at)) for id, (n, at) in said["stations"].items()}
        lots = {id: PulledLot(*map(str, lot)) for id, lot in said["lots"].items() if _is_name(id)}
        lots = {id: lot for id, lot in lots.items() if lot.station in stations}
        return Pulled(stations, lots, _time(said["here"]), _time(said["there"]))
    except (OSError, *MALFORMED):
        return Pulled()


def _time(said: Any) -> float:
    """Seconds since 1970. Raises ValueError for what no clock says: JSON as Python reads it has
    numbers without end."""
    if not 0 <= (found := float(said)) < _LATEST:
        raise ValueError("not a time")
    return found


def keep_pulled(pulled: Pulled) -> None:
    """Keep the list. Raises HubError."""
    said = {
        "format": _FORMAT,
        "stations": pulled.stations,
        "lots": pulled.lots,
        "here": pulled.here,
        "there": pulled.there,
    }
    _written(data_folder() / _LIST, json.dumps(said).encode("ascii"))


def keep_lot(id: str, name: str, tables: Mapping[str, Any]) -> None:
    """Keep a lot by its tables (see `lot_tables`). Raises HubError."""
    if not _is_name(id):
        raise HubError("The hub has a lot without an identity; nothing of it was pulled.")
    draft = Draft()
    draft.begin(id, name, dict(tables))
    _written(pulled_folder() / id / JOURNAL, bytes(draft.data))


def forget_lots(pulled: Pulled, gone: set[str]) -> Pulled:
    """Without some lots. The list is kept first: a lot without files would be told as damage.
    Raises HubError."""
    left = replace(pulled, lots={id: lot for id, lot in pulled.lots.items() if id not in gone})
    keep_pulled(left)
    for id in gone:
        with contextlib.suppress(OSError):
            shutil.rmtree(pulled_folder() / id)
    return left


def _is_name(id: str) -> bool:
    """Whether an identity can be a folder's name: it comes from elsewhere."""
    return id.isascii() and id.isalnum() and len(id) <= 64


def _written(path: Path, data: bytes) -> None:
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        replace_durably(SYSTEM, path, data)
    except OSError as error:
        raise HubError(
            f"{printable(str(path))} cannot be written: {error.strerror}. What was pulled before "
            "is still here."
        ) from None
