"""The lots opened on this machine: a list that can be lost without loss, since opening a lot puts
it back."""

from __future__ import annotations

import os
import time
from collections.abc import Iterable, Mapping, Sequence
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from tagger.core.lot.naming import path_ends, told_apart
from tagger.core.model.text import fold, printable
from tagger.errors import LotError
from tagger.store.lot.documents import LATEST
from tagger.store.lot.watch.standing import NOWHERE, Standing
from tagger.store.machine.paths import LotPlace
from tagger.store.machine.state_file import StateFile

if TYPE_CHECKING:
    from tagger.core.lot.view import Counts


class KnownLot(NamedTuple):
    """A lot on the list. `opened` is in seconds since 1970; `counts` is None where the lot cannot
    be read now; `stands` is its journal and how far that went when the lot was open last, an empty
    one where that is not known; `part` is the lot's of stock numbers."""

    place: LotPlace
    opened: float
    counts: Counts | None
    stands: Standing = NOWHERE
    part: str = ""


class LotList:
    """The list in its file `lots.json`, read at each question."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def opened(self, place: LotPlace, stands: Standing = NOWHERE, part: str = "") -> bool:
        """Note that a lot was opened, with its own name, how far its journal goes, and its part of
        stock numbers; whether that could be kept."""
        known = KnownLot(place, time.time(), None, stands, part)
        return self._file().put(os.fspath(place.folder), known)

    def went_on(self, place: LotPlace, stands: Standing) -> None:
        """Note how far a lot's journal goes now; silent for a lot that is not on the list."""
        file = self._file()
        known = file.get(os.fspath(place.folder))
        if known is not None:
            file.put(os.fspath(place.folder), known._replace(stands=stands))

    def last(self, place: LotPlace) -> Standing:
        """How far the journal of a lot went when it was open here last."""
        known = self._file().get(os.fspath(place.folder))
        # the tags of one folder may be kept in several places
        return known.stands if known is not None and known.place.home == place.home else NOWHERE

    def forget(self, meant: str) -> LotPlace:
        """Take a lot off the list, by its name or its folder; nothing else is touched. Raises
        LotError where that is none of the list, or several, or the list cannot be written."""
        folder = os.path.abspath(meant)
        known = self.places()
        found = [one for one in known if os.fspath(one.folder) in (meant, folder)]
        found = found or [one for one in known if fold(one.name) == fold(meant)]
        if not found:
            raise LotError(f"There is no lot {printable(meant, 200)}; tagger lots lists them all.")
        if len(found) > 1:
            where = ", ".join(printable(str(one.folder), 200) for one in found)
            raise LotError(
                f"Several lots are called {printable(meant, 60)}: {where}. Name the folder."
            )
        if not self._file().remove(os.fspath(found[0].folder)):
            raise LotError(f"The list of lots in {printable(str(self._folder))} cannot be written.")
        return found[0]

    def home_of(self, folder: Path) -> Path | None:
        """Where the tags of a folder were kept when it was opened last."""
        folder = folder.resolve()
        return next((place.home for place in self.places() if place.folder == folder), None)

    def named(self, place: LotPlace) -> LotPlace | None:
        """A place with the name that the lot has on this list, None where it is not there."""
        return next((known for known in self.places() if known == place), None)

    def others(self, place: LotPlace) -> dict[str, Path]:
        """The folders of all other lots that are there, by their names, folded."""
        known = (one for one in self.places() if one.folder != place.folder)
        return {fold(one.name): one.folder for one in known if one.kept}

    def parts(self, place: LotPlace) -> dict[str, Path]:
        """The folders of all other lots, by their parts of stock numbers."""
        others = (one for one in self._file().values() if one.place.folder != place.folder)
        return {one.part: one.place.folder for one in others if one.part}

    def places(self) -> list[LotPlace]:
        """Where all lots on the list are, the one opened last first; none of them is looked at."""
        return [known.place for known in self.known()]

    def known(self) -> list[KnownLot]:
        """All lots on the list, the one opened last first; `lots_now` says how far they are."""
        known = sorted(self._file().values(), key=lambda lot: -lot.opened)
        names = _apart([one.place for one in known])
        return [one._replace(place=names.get(one.place, one.place)) for one in known]

    def _file(self) -> StateFile[KnownLot]:
        # a new one each time, for a StateFile reads once: other sittings write the list meanwhile
        return StateFile(self._folder, "lots", "folder", _known, _fields)


def _apart(places: Sequence[LotPlace]) -> dict[LotPlace, LotPlace]:
    """Those that are called like another lot, with names that tell them apart: they were opened
    before lots had names, or lay somewhere else then."""
    alike: dict[str, list[LotPlace]] = {}
    for place in places:
        alike.setdefault(fold(place.name), []).append(place)
    found: dict[LotPlace, LotPlace] = {}
    for several in alike.values():
        there = _still_there(several)
        for place in _mistaken(there):
            found[place] = place.called(_name_apart(place, there, alike))
    return found


def _still_there(several: Sequence[LotPlace]) -> list[LotPlace]:
    """Those of several lots of one name that can be mistaken for each other."""
    # one that is gone, as a folder that was moved, is mistaken for none
    return [place for place in several if len(several) > 1 and place.kept]


def _mistaken(there: Sequence[LotPlace]) -> list[LotPlace]:
    """Those that need another name."""
    if len(there) < 2:
        return []
    named = [place for place in there if place.own]
    # what one of them was given is its name, and the others' folders are called so
    return [place for place in there if named != [place]]


def _name_apart(place: LotPlace, there: Sequence[LotPlace], taken: Iterable[str]) -> str:
    """A name that no other lot has; `taken` are all names in use, folded."""
    # as seen from every other one, so that the order of opening does not count
    ends = (path_ends(other.folder.parts) for other in there if other != place)
    end = told_apart(place.folder.parts, {*taken, *map(fold, chain.from_iterable(ends))})
    return f"{place.own} ({end})" if place.own else end


def _fields(known: KnownLot) -> dict[str, Any]:
    place = known.place
    return {
        "home": os.fspath(place.home),
        "opened": known.opened,
        "name": place.own,
        "journal": known.stands.journal,
        "lines": known.stands.lines,
        "part": known.part,
    }


def _known(entry: Mapping[str, Any]) -> KnownLot:
    folder, home, opened = str(entry["folder"]), str(entry["home"]), float(entry["opened"])
    # another hand may have written it: no path of the system, no time of a calendar
    if "\0" in folder + home or not 0 <= opened <= LATEST:
        raise ValueError("no lot that was opened")
    # an earlier version noted no journal
    stands = Standing(str(entry.get("journal", "")), int(entry.get("lines", 0)))
    place = LotPlace(Path(folder), Path(home), str(entry.get("name", "")))
    return KnownLot(place, opened, None, stands, str(entry.get("part", "")))
