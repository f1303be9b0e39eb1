"""The hub behind the desk: the lot is sent when the keys are quiet, and sales that other stations
ask for are entered like any change. The desk shows one sign when the hub is behind, and never waits
for it."""

from __future__ import annotations

from contextlib import suppress
from typing import TYPE_CHECKING

from textual.message import Message

if TYPE_CHECKING:
    from textual.screen import Screen
    from textual.timer import Timer

    from tagger.core.session.session import Session
    from tagger.services.background.ports import HubNews, HubWork

EVERY = 5.0  # seconds between two looks at the hub while nothing happens here
SIGN = "hub behind"


class HubTold(Message):
    """How the last sending went."""

    def __init__(self, news: HubNews) -> None:
        super().__init__()
        self.news = news


class HubMonitor:
    """Sends the lot now and then; `screen` gets HubTold. `sign` is shown in the top line."""

    def __init__(self, screen: Screen[None], session: Session, work: HubWork | None) -> None:
        self._screen, self._session = screen, session
        # what is only looked at is as it was
        self._work = None if session.looking else work
        self._entered: set[str] = set()
        self._sending = False
        self._next: Timer | None = None
        self.sign = ""

    def quiet(self) -> None:
        """The keys are quiet: send what there is."""
        if self._work is None or self._sending:
            return
        self._sending = True
        self._work.send(frozenset(self._entered), self._told)

    def _told(self, news: HubNews) -> None:
        with suppress(RuntimeError):  # the desk was left meanwhile
            self._screen.post_message(HubTold(news))

    def came(self, news: HubNews) -> str:
        """How it went; what to say of sales that were entered. Raises NotSaved."""
        self._sending = False
        self.sign = SIGN if news.behind else ""
        said = self._enter(news) if news.wishes else ""
        if self._next is not None:
            self._next.stop()
        # a sale is told to all at once
        self._next = self._screen.set_timer(0.1 if said else EVERY, self.quiet)
        return said

    def _enter(self, news: HubNews) -> str:
        # loaded where something is asked, and that is seldom
        from tagger.core.stock.asked_sales import enter_wishes

        fresh = [wish for wish in news.wishes if wish.id not in self._entered]
        self._entered.update(wish.id for wish in fresh)
        return " ".join(enter_wishes(self._session, fresh))

    def close(self) -> None:
        """End it."""
        if self._work is not None:
            self._work.close()
