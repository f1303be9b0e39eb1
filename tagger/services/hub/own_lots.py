"""The lots of this machine that are to be published."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from tagger.core.model.text import printable
from tagger.store.hub.journal_place import JournalPlace, journal_place
from tagger.store.machine.lots import LotList
from tagger.store.machine.paths import data_folder

if TYPE_CHECKING:
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
