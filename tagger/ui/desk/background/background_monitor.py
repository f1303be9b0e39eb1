"""What goes on behind the open lot: scans that arrive, the audit, sheets and centering that are
measured.

`BackgroundWork` does it, in threads and processes of its own; the monitor says when, and tells the
desk by messages: only the desk changes the lot."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import partial
from typing import TYPE_CHECKING

from textual.message import Message
from textual.screen import Screen
from textual.timer import Timer

from tagger.core.lot.scan_stamps import not_digested
from tagger.errors import TaggerError

if TYPE_CHECKING:
    from tagger.core.feeding.order import Sides
    from tagger.core.model.scan_ref import ScanStamp
    from tagger.core.session.session import Session
    from tagger.services.background.ports import AuditProgress, BackgroundWork, ScansArrived

START = 0.8  # seconds after the first card is on the screen in which nothing is begun behind it
AT_A_TIME = 100  # scans that are read before they are told
SETTLED = 0.3  # seconds without another change of the lot after which it is looked through again


class AuditReported(Message):
    """The audit has something to tell."""

    def __init__(self, told: AuditProgress) -> None:
        super().__init__()
        self.told = told


class ScansCame(Message):
    """Scans came into the folder, or were made again."""

    def __init__(self, came: ScansArrived) -> None:
        super().__init__()
        self.came = came


class ScansRead(Message):
    """Scans of tagged cards were read, and these files they are, as far as they could be."""

    def __init__(self, scans: Sequence[str], found: Mapping[str, ScanStamp]) -> None:
        super().__init__()
        self.scans, self.found = scans, found


class SheetSplit(Message):
    """The cards of a sheet were found."""

    def __init__(self, scan: str, parts: tuple[Sides, ...], ask: bool) -> None:
        super().__init__()
        self.scan, self.parts, self.ask = scan, parts, ask


class StatusText(Message):
    """Something to say that took a while; `alarm` where it went wrong."""

    def __init__(self, sentence: str, alarm: bool = False) -> None:
        super().__init__()
        self.sentence, self.alarm = sentence, alarm


class BackgroundMonitor:
    """Begins when the first card is on the screen, and goes on until the desk is left."""

    def __init__(self, screen: Screen[None], session: Session, work: BackgroundWork) -> None:
        self._screen, self._session, self._work = screen, session, work
        self._begun = self._reading = False
        self._soon: Timer | None = None

    def begin(self) -> None:
        """The first card is on the screen."""
        if not self._begun:
            self._begun = True
            self._screen.set_timer(START, self._begin)

    def _begin(self) -> None:
        # A lot that is only looked at takes in nothing.
        if not self._session.looking:
            self._look()
            self._aside(self._read_all)
        self._audit()

    def changed(self) -> None:
        """The lot is another one now: look it through again when no more comes."""
        if not self._begun:
            return
        # Several mends in a row are one change to the audit: each would have it begin anew.
        if self._soon is not None:
            self._soon.stop()
        self._soon = self._screen.set_timer(SETTLED, self._audit)

    def _audit(self) -> None:
        # with it all that is told of what is measured is loaded
        from tagger.services.background.ports import AuditJob

        self._soon = None
        view = self._session.view
        self._work.audit(
            AuditJob(view.arrangement, self._session.folder.names, view.cursor.position, self._told)
        )

    def key_came(self) -> None:
        """Leave the desk a processor for a while."""
        self._work.key_came()

    def _told(self, told: AuditProgress) -> None:
        """Called from another thread."""
        self._screen.post_message(AuditReported(told))

    def _look(self) -> None:
        self._aside(self._arrivals)

    def _arrivals(self) -> None:
        # In a thread: a folder on the network may take its time.
        came, pause = self._work.arrived(self._session.view.arrangement, self._session.folder.names)
        if came is not None:
            self._screen.post_message(ScansCame(came))
        self._screen.app.call_from_thread(self._screen.set_timer, pause, self._look)

    def read(self, scans: Iterable[str] = ()) -> None:
        """Read these scans, and those of the cards that were tagged just now: which files they
        are."""
        wanted = self._session.scans.undigested
        wanted.extend(scans)
        if self._begun and wanted and not self._reading:
            self._reading = True
            self._aside(partial(self._read_some, tuple(wanted)))

    def _read_some(self, scans: Sequence[str]) -> None:
        try:
            self._read(scans)
        finally:
            self._reading = False

    def _read_all(self) -> None:
        # of a lot that was tagged before this was kept, say
        self._read(not_digested(self._session.view))

    def _read(self, scans: Sequence[str]) -> None:
        for first in range(0, len(scans), AT_A_TIME):
            some = scans[first : first + AT_A_TIME]
            self._screen.post_message(ScansRead(some, self._work.read(some)))

    def split(self, position: int) -> None:
        """Find the cards on the sheet of a card (from 1)."""
        card = self._session.view.card_at(position)
        scan = card.front
        if scan is None:
            said = f"Card {position} has no front to split."
            self._screen.post_message(StatusText(said, alarm=True))
            return

        def work() -> None:
            parts, ask = self._work.split(scan, card.back)
            self._screen.post_message(SheetSplit(scan, parts, ask))

        self._aside(work)

    def centering(self, scan: str) -> None:
        """Measure how a side is centred."""
        turn = dict(self._session.view.arrangement.mending.turns).get(scan, 0)

        def work() -> None:
            self._screen.post_message(StatusText(self._work.centering(scan, turn)))

        self._aside(work)

    def _aside(self, work: Callable[[], None]) -> None:
        def careful() -> None:
            try:
                work()
            except TaggerError as error:
                self._screen.post_message(StatusText(error.message, alarm=True))
            except RuntimeError:  # the desk was left meanwhile
                if self._screen.is_running:
                    raise

        self._screen.run_worker(careful, thread=True, exit_on_error=False)

    def close(self) -> None:
        """End all of it."""
        self._work.close()
