"""The lots of this machine that are to be published."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.core.model.text import printable
from tagger.file_stamp import file_stamp
from tagger.services.lists.lot_checklists import FurtherColumns
from tagger.store.hub.journal_place import JournalPlace, journal_place
from tagger.store.hub.publishing import LotToPublish
from tagger.store.lot.lot_file import read_lot
from tagger.store.machine.known_lists import lists_now
from tagger.store.machine.lots import LotList
from tagger.store.machine.paths import data_folder

if TYPE_CHECKING:
    from tagger.core.lot.view import LotView
    from tagger.store.hub.card_documents import Columns
    from tagger.store.machine.paths import LotPlace


@dataclass
class OwnLots:
    """Lots by their identities, each with its place and how far its journal goes; `problems` has a
    sentence for each lot that cannot be published."""

    lots: dict[str, tuple[LotPlace, JournalPlace]] = field(default_factory=dict)
    problems: list[str] = field(default_factory=list)

    def add(self, place: LotPlace) -> None:
        """One more lot."""
        if not place.kept:
            self.problems.append(
                f"The lot {place.name} was skipped: nothing is stored in "
                f"{printable(str(place.home))}."
            )
            return
        at = journal_place(place.home)
        if not at.id:
            self.problems.append(
                f"The lot {place.name} was skipped: open it once, then publish again."
            )
        elif at.id in self.lots:
            other = self.lots[at.id][0]
            self.problems.append(
                f"The lot {place.name} was skipped: {printable(str(other.folder))} and "
                f"{printable(str(place.folder))} are copies of one lot. If one is another lot by "
                "now: tagger lots --new-identity FOLDER."
            )
        else:
            self.lots[at.id] = place, at


def own_lots(places: Iterable[LotPlace] | None = None) -> OwnLots:
    """Some lots, all on this machine's list where none is named."""
    found = OwnLots()
    for place in LotList(data_folder()).places() if places is None else places:
        found.add(place)
    return found


class Prices:
    """Today's prices of the lots' checklists, each list read once."""

    def __init__(self, today: bool) -> None:
        self._today = today
        self._columns = FurtherColumns()

    def lot(self, place: LotPlace) -> LotToPublish:
        """A lot as it is to be published. Raises LotError."""
        stamp = None
        if self._today:
            stamp = _stamp(read_lot(place.home).checklists)
        return LotToPublish(place.home, place.name, stamp, self._of)

    def _of(self, view: LotView) -> Columns:
        checklists = view.checklists
        return lambda tags: self._columns.of(checklists, tags)


def _stamp(checklists: Iterable[str]) -> str:
    """What tells one state of some lists from another, without reading them."""
    # by name and not by path: a list that is moved says the same
    seen = [(Path(path).name, _lasting(Path(path))) for path in lists_now(tuple(checklists))]
    return hashlib.sha256(repr(sorted(seen, key=repr)).encode()).hexdigest()[:16]


def _lasting(path: Path) -> tuple[int, int] | None:
    found = file_stamp(path)
    return found.lasting if found else None
