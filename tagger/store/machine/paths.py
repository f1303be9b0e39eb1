"""Where things are kept: a lot's own folder or one named by the user, and the XDG folders for all
else."""

from __future__ import annotations

import hashlib
import os
import re
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING

from platformdirs.unix import Unix

from tagger.core.lot.naming import shown
from tagger.core.model.text import printable
from tagger.errors import LotError, UsageError
from tagger.store.lot.journal import JOURNAL
from tagger.store.lot.main_file import MAIN

if TYPE_CHECKING:
    from tagger.core.model.scan_ref import LotRef

# the XDG folders on macOS too: help and README name one place for every system
_DIRS = Unix("tagger")


def _folder(kind: str) -> Path:
    """The XDG folder of a kind. Raises UsageError where no home is known to begin at."""
    try:
        folder = Path(getattr(_DIRS, f"user_{kind}_path"))
    except RuntimeError:
        folder = Path("~")
    # a user of a container may have neither HOME nor a line in the system's list of users
    if not folder.is_absolute():
        name = f"XDG_{kind.upper()}_HOME"
        raise UsageError(f"No home folder is known; set HOME to a folder, or {name}.")
    return folder


def config_file() -> Path:
    """The user's settings, in the XDG config folder."""
    return _folder("config") / "config.toml"


def data_folder() -> Path:
    """Where the list of lots is, in the XDG data folder."""
    return _folder("data")


def looks_folder() -> Path:
    """Where it is kept how the cards look that were tagged."""
    return data_folder() / "looks"


def cache_folder() -> Path:
    """What can be made again, in the XDG cache folder; it may be emptied at any time."""
    return _folder("cache")


def index_folder() -> Path:
    """Where indexes of checklists are kept."""
    return cache_folder() / "checklists"


def catalogue_folder() -> Path:
    """Where it is kept which cards lie in which lots."""
    return cache_folder() / "lots"


def measured_folder() -> Path:
    """Where it is kept what was measured on scans."""
    return cache_folder() / "measured"


def readings_folder() -> Path:
    """Where it is kept what was read on cards."""
    return cache_folder() / "readings"


def state_folder() -> Path:
    """Where a report of an error in the program itself goes, in the XDG state folder."""
    return _folder("state")


@dataclass(frozen=True)
class LotPlace:
    """A lot's folder of scans, and the folder where its document is kept. `own` is the name that
    tells it from others, empty where its folder's does."""

    folder: Path
    home: Path
    own: str = field(default="", compare=False)

    @classmethod
    def of(cls, lot: LotRef) -> LotPlace:
        """Where a lot lies that was found."""
        return cls(Path(lot.folder), Path(lot.home), lot.name)

    def called(self, name: str) -> LotPlace:
        """The same place with the lot's own name, where it has one."""
        # this machine may have added to it, where two lots were given the same name
        if not name or self.own.startswith(f"{name} ("):
            return self
        return replace(self, own=name)

    @property
    def state(self) -> Path | None:
        """What `--state` names so that this place is found; None where nothing needs to, or where
        only this machine's list of lots knows it, since the scans were moved."""
        if self.home == self.folder:
            return None
        folder = self.home.parent
        return folder if _home_in(folder, self.folder) == self.home else None

    @property
    def name(self) -> str:
        """The lot's name, printable: its own, else its folder's."""
        return shown(self.own or self.folder.name or str(self.folder))

    @property
    def kept(self) -> bool:
        """Whether the lot was opened before."""
        # the journal alone is a lot that was killed before its first `lot.json`
        return os.path.exists(self.home / MAIN) or os.path.exists(self.home / JOURNAL)


def lot_place(folder: Path, state: Path | None) -> LotPlace:
    """The place of a lot; with `state`, its document goes into a folder of its own in there.

    Raises LotError where `folder` is no folder that can be read.
    """
    shown = printable(str(folder))
    if not os.path.exists(folder):
        raise LotError(f"There is no folder {shown}.")
    if not os.path.isdir(folder):
        raise LotError(f"{shown} is a file; name the folder that holds the scans.")
    # without X the names can be listed, and none of the files opened
    if not os.access(folder, os.R_OK | os.X_OK):
        raise LotError(f"The folder {shown} cannot be read; ask its owner for access.")
    folder = folder.resolve()  # by whatever link it was named: one folder is one lot
    if state is None:
        return LotPlace(folder, folder)
    return LotPlace(folder, _home_in(state.resolve(), folder))


def _home_in(state: Path, folder: Path) -> Path:
    """The folder below `state` for the document of a folder of scans."""
    # many lots may be called `box 12`: the digest tells them apart, the stem is for people
    digest = hashlib.sha256(os.fsencode(folder)).hexdigest()[:8]
    # no dot in front: a hidden folder is not found again by whoever looks for the tags
    stem = re.sub(r"[^A-Za-z0-9._-]+", "-", printable(folder.name, 60)).strip(".-") or "lot"
    return state / f"{stem}-{digest}"


def make_home(place: LotPlace) -> None:
    """Make the folder for a lot's document. Raises LotError."""
    try:
        place.home.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise LotError(f"{printable(str(place.home))} cannot be made: {error.strerror}.") from None


def pulled_folder() -> Path:
    """Where other stations' lots are kept."""
    return data_folder() / "pulled"


def is_pulled(place: LotPlace) -> bool:
    """Whether a lot is another station's."""
    return place.home.parent == pulled_folder()
