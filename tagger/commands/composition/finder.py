"""The lots behind the find screen: searched, shown, marked, opened."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import TYPE_CHECKING

from tagger.commands.composition.lot_desk import LotDesk
from tagger.core.model.scan_ref import LotRef
from tagger.core.model.text import printable
from tagger.core.reports.card_search import LIMIT, SearchHit, find, problem_of
from tagger.core.session.stock_status import StockChange, leave, today_at
from tagger.errors import LotError, Refused
from tagger.services.hub.sales import asked_of, withdraw_wishes
from tagger.services.lot_changes import LotChange
from tagger.services.lot_selection import all_places
from tagger.services.opening import change
from tagger.services.stock import enter_all
from tagger.store.caches.catalogue import Catalogue, catalogue
from tagger.store.lot.lot_file import read_lot
from tagger.store.machine.paths import LotPlace, catalogue_folder, is_pulled
from tagger.ui.find.ports import Copy, Finds

if TYPE_CHECKING:
    from tagger.config import Settings
    from tagger.core.lot.history import PastChange
    from tagger.core.model.tags import Mark
    from tagger.core.session.session import Session
    from tagger.preview.render_settings import RenderSettings
    from tagger.ui.desk.screen import DeskScreen
    from tagger.ui.keys import Keymap


class LotFinder:
    """All lots opened on this machine; see `ui.find.ports.Finder`."""

    def __init__(self, settings: Settings, keys: Keymap, limit: int = LIMIT) -> None:
        """`limit`: different cards that are listed at most."""
        self._settings, self._keys, self._limit = settings, keys, limit
        self._catalogue = Catalogue((), ())
        # how often the lots were looked at, and how often that was wanted
        self._looked, self._wanted = 0, 1
        self._lots = 0
        # A lot that cannot be read is told once, and not with every letter that is typed.
        self._reported: set[str] = set()
        # the card's identity where another station was asked for it
        self._marked: list[tuple[LotPlace, list[PastChange] | int]] = []
        self._visit: _LotVisit | None = None

    def search(self, words: str, tell: Callable[[int, int], None]) -> Finds:
        """The cards that these words mean; see Finder."""
        # Noted before the lots are read: an `again` that comes meanwhile counts for the next
        # search.
        wanted = self._wanted
        if self._looked != wanted:
            places = all_places()
            self._catalogue = catalogue(places, catalogue_folder(), tell)
            self._lots, self._looked = len(places), wanted
        known = self._catalogue
        fresh = tuple(sentence for sentence in known.skipped if sentence not in self._reported)
        self._reported.update(fresh)
        found = Finds(words, lots=self._lots - len(known.skipped), skipped=fresh)
        if not words:
            return found
        if problem := problem_of(words):
            return Finds(words, lots=found.lots, skipped=fresh, problem=problem)
        answer = find(known.parts, words, self._settings.scale, self._limit)
        return Finds(words, tuple(map(_copy, answer.every)), answer.more, found.lots, fresh)

    def again(self) -> None:
        """Look at the lots anew with the next search."""
        self._wanted += 1

    def mark(self, copy: Copy, gone: str) -> str:
        """Mark a card; see Finder."""
        place = _place(copy)
        if is_pulled(place):
            return self._ask(place, copy, gone)
        with change(place, self._settings) as session:
            # Else a card that came into this place meanwhile would be marked as sold.
            position = _position(session, copy, same=True)
            said = leave(session, [position], gone)
            # With its history, by which undo sees whether somebody worked there since.
            self._marked.append((place, session.history(1)))
        return f"{place.name}: {said}"

    def _ask(self, place: LotPlace, copy: Copy, gone: str) -> str:
        """Ask another station for the sale of its card."""
        lot = read_lot(place.home)
        where = [copy.card.position]
        what = StockChange(gone, {}, today_at(time.time()))
        marks = what.markings(lot, where)
        enter_all([LotChange(place, what.label(where), marks)], self._settings)
        self._marked.append((place, marks[0].id))
        return f"{place.name}: {asked_of([place])}"

    def undo(self) -> str:
        """Take back what was marked last; see Finder."""
        if not self._marked:
            raise Refused("Nothing was marked here, so there is nothing to undo.")
        place, mine = self._marked[-1]
        if isinstance(mine, int):
            said = withdraw_wishes(place, [mine], self._settings)
            self._marked.pop()
            return said
        with change(place, self._settings) as session:
            # Its undo would take back what somebody did there meanwhile.
            if session.history(1) != mine:
                raise Refused(f"{place.name} was changed again since; undo it at its desk.")
            said = session.undo()
        # Only now: what could not be taken back can be tried again.
        self._marked.pop()
        return f"{place.name}: {said}"

    def open(self, copy: Copy, manner: RenderSettings, left: Callable[[], None]) -> DeskScreen:
        """Open the lot of a card; see Finder."""
        lot = LotDesk(_place(copy), self._settings, self._keys)
        try:
            self._visit = _LotVisit(lot, _position(lot.session, copy))
        except BaseException:
            # An open lot is locked, and no other program could work on it.
            lot.close()
            raise
        return lot.desk(manner, left=left)

    def close(self) -> str:
        """Let go of a lot that is still open; see Finder."""
        visit, self._visit = self._visit, None
        return "" if visit is None else visit.close()


class _LotVisit:
    """A lot that is opened at a card."""

    def __init__(self, lot: LotDesk, position: int) -> None:
        self._lot = lot
        # Before the cursor goes to the card that was found.
        self._stood, self._before = lot.session.view.cursor.position, _history(lot.session)
        lot.session.go(position)

    def close(self) -> str:
        """Let go of the lot, and say what was done there."""
        session = self._lot.session
        # Where nothing was changed, work goes on there as before: it was only looked at.
        if _history(session) == self._before and self._stood <= session.view.cards + 1:
            session.go(self._stood)
        self._lot.close()
        return " ".join(self._lot.closing_words())


def _copy(card: SearchHit) -> Copy:
    lot = LotRef.read(card.lot)
    return Copy(LotPlace.of(lot).name, lot, card)


def _place(copy: Copy) -> LotPlace:
    """The lot of a card. Raises LotError where it is gone."""
    place = LotPlace.of(copy.ref)
    if not place.kept:
        raise LotError(
            f"The lot {place.name} is gone: nothing is stored in {printable(str(place.home))}."
        )
    return place


def _position(session: Session, copy: Copy, same: bool = False) -> int:
    """Where a card stands in its lot now; with `same` only while it is tagged as it was found.
    Raises Refused."""
    # Known again by its scans: a fix before it moves a card's position.
    wanted, was = (copy.card.front, copy.card.back), _what_is_seen(copy.card.mark)
    arrangement = session.view.arrangement
    for pair in arrangement.pairs:
        if (pair.front or "", pair.back or "") != wanted:
            continue
        mark, position = session.view.mark(pair.id), arrangement.position_of(pair.id)
        if position is not None and (not same or _what_is_seen(mark) == was):
            return position
    raise Refused(f"{copy.lot} was changed in the meantime, and this card with it. Search again.")


def _what_is_seen(mark: Mark) -> tuple[str, str, str]:
    """What the list shows of a card: as long as this is the same, it is the card that was found."""
    return mark.gone, mark.tags.brief(), mark.tags.set


def _history(session: Session) -> tuple[list[PastChange], list[PastChange]]:
    return session.history(1), session.history(1, undone=True)
