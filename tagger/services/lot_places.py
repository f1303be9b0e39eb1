"""Where the tags of a folder of scans are kept."""

from __future__ import annotations

from pathlib import Path

from tagger.store.machine.lots import LotList
from tagger.store.machine.paths import LotPlace, data_folder, lot_place


def place_of_folder(folder: Path, state: Path | None = None) -> LotPlace:
    """The lot of a folder of scans, its tags in `state` where that is given. Without it, tags that
    were kept elsewhere at the last opening are found."""
    place = lot_place(folder, state)
    # What lies with the scans goes before what was kept elsewhere once.
    if state is not None or place.kept:
        return place
    home = LotList(data_folder()).home_of(place.folder)
    if home is None:
        return place
    elsewhere = LotPlace(place.folder, home)
    return elsewhere if elsewhere.kept else place
