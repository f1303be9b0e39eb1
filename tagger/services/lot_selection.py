"""The lots that a command is about: those that are named, or all that were opened on this
machine."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.core.model.text import printable
from tagger.errors import LotError
from tagger.services.lot_places import place_of_folder
from tagger.services.scans.replaced_told import note_scans
from tagger.store.lot.lot_file import read_lot
from tagger.store.machine.lots import LotList
from tagger.store.machine.paths import LotPlace, data_folder
from tagger.store.machine.pulled import read_pulled

if TYPE_CHECKING:
    from tagger.core.lot.lot import LotState

NO_LOTS = "No lot was opened on this machine yet. Start with: tagger open FOLDER."


@dataclass
class ChosenLots:
    """Lots to be read one after the other; all that are known where no folder is named, with
    `pulled` those of other stations, too. `count` is how many could be read, `skipped` has a
    sentence for each that could not."""

    folders: Sequence[Path]
    pulled: bool = False
    count: int = 0
    skipped: list[str] = field(default_factory=list)

    def read(self) -> Iterator[tuple[LotPlace, LotState]]:
        """The lots as they stand. Raises LotError at the end where there was none."""
        for place in self._places():
            try:
                lot = _read(place)
            except LotError as error:
                # One lot on a drive that is not there must not hide all the others.
                self.skipped.append(error.message)
                continue
            self.count += 1
            yield place.called(lot.name), lot
        if not self.count:
            raise LotError(" ".join(self.skipped) or NO_LOTS)

    def _places(self) -> Iterator[LotPlace]:
        if not self.folders:
            yield from all_places() if self.pulled else LotList(data_folder()).places()
        for folder in self.folders:
            try:
                yield place_of_folder(folder)
            except LotError as error:
                self.skipped.append(error.message)


def all_places() -> list[LotPlace]:
    """The lots of this machine, and those of other stations that were pulled."""
    return [*LotList(data_folder()).places(), *read_pulled().places()]


def _read(place: LotPlace) -> LotState:
    if not place.kept:
        raise LotError(
            f"The lot {place.name} was skipped: nothing is stored in {printable(str(place.home))}."
        )
    lot = read_lot(place.home)
    note_scans(place, lot)
    return lot
