"""Where the tags of a folder of scans are kept, and what the lot is called: no two lots on this
machine by one name."""

from __future__ import annotations

import contextlib
from pathlib import Path

from tagger.core.lot.naming import own_name, told_apart
from tagger.core.model.text import fold, printable
from tagger.errors import LotError, Refused
from tagger.store.files import SYSTEM
from tagger.store.lot.recovery import recover
from tagger.store.machine.lots import LotList
from tagger.store.machine.paths import LotPlace, data_folder, lot_place


def place_of_folder(folder: Path, state: Path | None = None) -> LotPlace:
    """The lot of a folder of scans with its name, its tags in `state` where that is given. Without
    it, tags that were kept elsewhere at the last opening are found."""
    place = _place_of(folder, state)
    return LotList(data_folder()).named(place) or _as_kept(place)


def _as_kept(place: LotPlace) -> LotPlace:
    """A place with the name that is kept with the lot, as on a machine that never opened it."""
    if not place.kept:
        return place
    # what is wrong with it is told by whoever needs more than its name
    with contextlib.suppress(LotError, OSError):
        return place.called(recover(SYSTEM, place.home).kept.lot.name)
    return place


def _place_of(folder: Path, state: Path | None) -> LotPlace:
    place = lot_place(folder, state)
    # What lies with the scans goes before what was kept elsewhere once.
    if state is not None or place.kept:
        return place
    home = LotList(data_folder()).home_of(place.folder)
    if home is None:
        return place
    elsewhere = LotPlace(place.folder, home)
    return elsewhere if elsewhere.kept else place


def called_like(place: LotPlace, name: str) -> Path | None:
    """The folder of another lot that has this name, None where none has it."""
    return LotList(data_folder()).others(place).get(fold(name))


def proposed_name(place: LotPlace) -> str:
    """The name that a new lot gets by itself: empty where the folder's does, else the end of its
    path that no other lot is called by."""
    others = LotList(data_folder()).others(place)
    if fold(place.name) not in others:
        return ""
    return told_apart(place.folder.parts, others)


def free_name(place: LotPlace, typed: str) -> str:
    """A name that was typed for a lot. Raises Refused where it can be none, or another lot has
    it."""
    name = own_name(typed)
    other = called_like(place, name)
    if other is not None:
        raise Refused(
            f"The name '{name}' belongs to the lot in {printable(str(other))}; choose another one."
        )
    return name
