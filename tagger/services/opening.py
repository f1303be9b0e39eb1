"""The ways into a lot: as it is kept, as it would open now, and opened for work."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.model.stock_number import part_of
from tagger.core.model.text import printable
from tagger.core.session.intake import folder_read
from tagger.imaging.scan.folder import Folder, list_scans
from tagger.services.lot_places import proposed_name
from tagger.store.lot.lot_file import LotFile, read_lot
from tagger.store.machine.lots import LotList
from tagger.store.machine.paths import LotPlace, data_folder, make_home, state_folder
from tagger.store.machine.unlisted import UnlistedFiles

# most commands only look: they start without what a session needs
if TYPE_CHECKING:
    from tagger.config import Settings
    from tagger.core.lot.lot import LotState
    from tagger.core.session.session import Session


class Looked(NamedTuple):
    """A lot as it would open now, and what its folder holds, with those that are joined to it."""

    lot: LotState
    folder: Folder


def read(place: LotPlace) -> LotState:
    """A lot as it is kept, an empty one where none is; the folder of scans is not asked. Raises
    LotError."""
    return read_lot(place.home)


def look(place: LotPlace) -> Looked:
    """A lot as it would open now. Nothing is written. Raises LotError."""
    lot = read(place)
    folder = list_scans(place.folder, lot.arrangement.mending.joined)
    if (fresh := folder_read(lot, folder.scans)) is not None:
        lot.apply(fresh)
    return Looked(lot, folder)


def _unlisted() -> str:
    return (
        f"{printable(str(data_folder()))} cannot be written to, so find, sets, value and lots do "
        "not know this lot by themselves; the tags are kept all the same."
    )


def _share_unlisted(session: Session, place: LotPlace) -> None:
    """What is in no checklist is known to all lots on this machine."""
    files = UnlistedFiles(data_folder() / "unlisted", place.home)
    session.candidates.other_lots = files.others
    session.remember_unlisted = files.keep


def _begin_stock(store: LotFile, place: LotPlace) -> None:
    """Give a lot its part of stock numbers: one that no other lot on this machine has. Raises
    NotSaved."""
    known = LotList(data_folder())
    store.begin_stock(part_of(store.identity, known.parts(place).__contains__))
    known.opened(replace(place, own=store.lot.name), store.lot.part)


class OpenLot:
    """A lot that is open: `session` has the folder's scans. As a context it is closed at the
    end."""

    def __init__(self, place: LotPlace, store: LotFile, session: Session, folder: Folder) -> None:
        self.place, self.store, self.session, self.folder = place, store, session, folder

    def __enter__(self) -> Session:
        return self.session

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        # the store and not the session: what a command does is no sitting
        self.store.close()


def change(
    place: LotPlace,
    settings: Settings,
    checklists: Sequence[Path] = (),
    only_looking: bool = False,
    name: str = "",
) -> OpenLot:
    """A lot opened for work, with the user's settings: its folder and those joined to it are read,
    and it is in this machine's list of lots from now on. `checklists` belong to it, too; `name` is
    its own from now on. A new lot whose folder is called like another lot gets one by itself.

    `only_looking` opens it beside another program; then, and where its files are damaged, nothing
    is written. Raises LotError, LockedError, NotSaved."""
    from tagger.core.session.session import Session

    # asked before anything is kept there
    own = name or ("" if place.kept else proposed_name(place))
    # A lot that is only looked at may lie where nothing can be written.
    if not only_looking:
        make_home(place)
    store = LotFile(
        place.home, place.name, only_looking=only_looking, refuge=state_folder() / "rescued"
    )
    try:
        session = Session(
            store,
            settings.scale,
            reasons=settings.reasons,
            closer_look=settings.closer_look,
        )
        folder = list_scans(place.folder, session.view.arrangement.mending.joined)
        # a lot that cannot be written to stays as it is kept
        if not session.looking:
            # remembered with the lot: the next opening may come from another folder
            session.take_in(folder.scans, [os.path.abspath(path) for path in checklists])
            if own and own != store.lot.name:
                store.call(own)
            session.begin_stock = partial(_begin_stock, store, place)
            named = replace(place, own=store.lot.name)
            if not LotList(data_folder()).opened(named, store.lot.part):
                # a convenience: the tags are with the lot
                store.notes += (_unlisted(),)
            _share_unlisted(session, place)
    # A store that stays open stays locked, and no later command could open the lot.
    except BaseException:
        store.close()
        raise
    return OpenLot(place.called(store.lot.name), store, session, folder)
