"""The ways into a lot: as it is kept, as it would open now, and opened for work."""

from __future__ import annotations

import contextlib
import os
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.lot.change import ChecklistsKnown, LotNamed, ScansSeen
from tagger.core.lot.scan_stamps import asked_cards, renamed_stamps
from tagger.core.model.counted import counted
from tagger.core.model.text import named, printable
from tagger.core.session.intake import folder_read
from tagger.errors import NotSaved, Refused
from tagger.imaging.scan.folder import Folder, list_scans
from tagger.services.lot_places import proposed_name
from tagger.services.scans.replaced_told import note_asked
from tagger.services.scans.scan_check import AT_THE_END, check_scans, digested, stamp_of
from tagger.services.stock_part import begin_stock
from tagger.store.lot.lot_file import LotFile, read_lot
from tagger.store.lot.troubles import note_back
from tagger.store.lot.watch.standing import went_back
from tagger.store.machine.lots import LotList
from tagger.store.machine.paths import LotPlace, data_folder, is_pulled, make_home, state_folder
from tagger.store.machine.unlisted import UnlistedFiles

# most commands only look: they start without what a session needs
if TYPE_CHECKING:
    from tagger.config import Settings
    from tagger.core.lot.lot import LotState
    from tagger.core.lot.view import LotView
    from tagger.core.model.scan_ref import ScanStamp
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
    return look_at_scans(place)[0]


def look_at_scans(place: LotPlace) -> tuple[Looked, Mapping[str, ScanStamp]]:
    """A lot as it would open now, and the scans of its tagged cards that are other files than they
    were, as they are now. Nothing is written. Raises LotError."""
    lot = read(place)
    folder = list_scans(place.folder, lot.arrangement.mending.joined)
    checked = check_scans(place.folder, lot, folder.scans)
    if (fresh := folder_read(lot, folder.scans, renamed=checked.renamed)) is not None:
        lot.apply(fresh)
    stamps = renamed_stamps(lot, checked.renamed)
    lot.apply(ScansSeen(tuple((one.scan, one.after) for one in stamps)))
    asked = asked_cards(lot, checked.changed)
    note_asked(place, asked)
    return Looked(lot, folder), checked.changed


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


def _find_lists(session: Session, place: LotPlace) -> tuple[str, ...]:
    """Checklists that are gone from where they were, found by their content in the same folder or
    beside the scans, belong to the lot from now on; a sentence for each."""
    before = session.view.checklists
    # not imported before: of most lots all are there
    if all(map(os.path.lexists, before)):
        return ()
    from tagger.store.machine.known_lists import lists_now

    now = lists_now(before, (place.folder, place.folder.parent))
    if now != before:
        session.note(ChecklistsKnown(tuple(dict.fromkeys(now))))
    moved = [
        (printable(os.path.basename(old)), printable(os.path.basename(new)))
        for old, new in zip(before, now, strict=True)
        if old != new
    ]
    return tuple(f"The checklist {old} is now {new}." for old, new in moved)


class OpenLot:
    """A lot that is open: `session` has the folder's scans, `renamed` of which have other names
    now. As a context it is closed at the end."""

    def __init__(
        self, place: LotPlace, store: LotFile, session: Session, folder: Folder, renamed: int
    ) -> None:
        self.place, self.store, self.session, self.folder = place, store, session, folder
        self.renamed = renamed

    def let_go(self) -> None:
        """Before it is closed: read what was tagged just now, as far as that takes no time, and
        have told what is still asked."""
        session = self.session
        # what cannot be kept is read again, and the tags are kept already
        with contextlib.suppress(NotSaved):
            session.scans.read(digested(self.place.folder, session.scans.undigested, AT_THE_END))
        note_asked(self.place, session.scans.replaced.positions())

    def __enter__(self) -> Session:
        return self.session

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        # the store and not the session: what a command does is no sitting
        try:
            self.let_go()
        finally:
            self.store.close()
            self.left()

    def left(self) -> None:
        """Once it is closed: remember how far it went."""
        if not self.session.looking:
            LotList(data_folder()).went_on(self.place, self.store.stands)


def change(
    place: LotPlace,
    settings: Settings,
    checklists: Sequence[Path] = (),
    only_looking: bool = False,
    name: str = "",
    patient: bool = True,
) -> OpenLot:
    """A lot opened for work, with the user's settings: its folder and those joined to it are read,
    and it is in this machine's list of lots from now on. `checklists` belong to it, too; `name` is
    its own from now on. A new lot whose folder is called like another lot gets one by itself.

    `only_looking` opens it beside another program; then, and where its files are damaged, nothing
    is written. `patient` reads all scans that may be other files than when their cards were tagged,
    however long that takes. Raises LotError, LockedError, NotSaved."""
    from tagger.core.session.session import Session

    _check_ours(place)
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
        session.scans.stamp_of = partial(stamp_of, place.folder)
        checked = check_scans(place.folder, session.view, folder.scans, patient)
        # a lot that cannot be written to stays as it is kept
        if not session.looking:
            # remembered with the lot: the next opening may come from another folder
            lists = [os.path.abspath(path) for path in checklists]
            session.take_in(folder.scans, lists, checked.renamed)
            store.notes += _find_lists(session, place)
            if own and own != store.lot.name:
                store.note(LotNamed(own))
            session.begin_stock = partial(begin_stock, store, place)
            _note_back(place, store)
            own_place = replace(place, own=store.lot.name)
            if not LotList(data_folder()).opened(own_place, store.stands, store.lot.part):
                # a convenience: the tags are with the lot
                store.notes += (_unlisted(),)
            _share_unlisted(session, place)
        session.scans.read({**checked.touched, **checked.changed})
        session.scans.undigested.extend(checked.unread)
    # A store that stays open stays locked, and no later command could open the lot.
    except BaseException:
        store.close()
        raise
    return OpenLot(place.called(store.lot.name), store, session, folder, len(checked.renamed))


def _check_ours(place: LotPlace) -> None:
    """Raises Refused where a lot is another station's."""
    if is_pulled(place):
        raise Refused(f"{place.name} is another station's lot; it is opened and changed there.")


def _note_back(place: LotPlace, store: LotFile) -> None:
    """Have it told where the lot is older than when it was open here last, or another one."""
    if back := went_back(LotList(data_folder()).last(place), store.stood):
        store.notes += (f"{back[0].upper()}{back[1:]}.",)
        note_back(place.home, back)


def missing_scans(lot: LotView, there: Sequence[str]) -> str:
    """That scans of cards are not in the folder, as a sentence; empty where all are. `there` are
    those of the folder."""
    known = set(there)
    gone = [scan for scan in lot.arrangement.scans if scan not in known]
    if not gone:
        return ""
    if len(gone) == len(lot.arrangement.scans):
        many = counted(len(gone), "scan")
        return f"All {many} of this lot are missing from the folder; the tags are kept."
    are = "is" if len(gone) == 1 else "are"
    at = lot.arrangement.position_with(gone[0])
    first = f"starting with {named(gone[0])}, card {at}"
    return (
        f"{counted(len(gone), 'scan')} {are} missing from the folder, {first}; the tags are kept."
    )
