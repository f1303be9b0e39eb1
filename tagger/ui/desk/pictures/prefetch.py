"""What is done for the previews between keys: cards drawn ahead, and scans tried again that were
not whole yet."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from textual.screen import Screen
from textual.timer import Timer

if TYPE_CHECKING:
    from tagger.core.session.session import Session
    from tagger.ui.desk.pictures.previews import Previews

AHEAD = 0.04  # seconds after which the cards around the one in front are drawn ahead
# seconds after which a scan that cannot be shown is looked at again, at first and at last
RETRY, SELDOM = 0.4, 8.0


class Prefetch:
    """`changed` is called when a scan can be tried again."""

    def __init__(
        self,
        screen: Screen[None],
        session: Session,
        previews: Previews,
        changed: Callable[[], None],
    ) -> None:
        self._screen, self._session = screen, session
        self._previews, self._changed = previews, changed
        self._ahead: Timer | None = None
        self._again: Timer | None = None
        self._position, self._delay = 0, RETRY

    def shown(self) -> None:
        """The card in front is on the screen, as far as it can be."""
        # not at once: threads share one interpreter, and this card comes first
        if self._ahead is None:
            self._ahead = self._screen.set_timer(AHEAD, self._look_ahead)
        position = self._session.view.cursor.position
        if self._previews.failed and (self._again is None or position != self._position):
            self._position, self._delay = position, RETRY
            self._wait()

    def _look_ahead(self) -> None:
        self._ahead = None
        self._previews.look_ahead(self._session)

    def _wait(self) -> None:
        if self._again is not None:
            self._again.stop()
        self._again = self._screen.set_timer(self._delay, self._retry)

    def _retry(self) -> None:
        # A scan may still be on its way from the scanner: look whether its file changes, ever more
        # seldom, since another one is broken for good.
        self._again = None
        if self._previews.retry():
            self._delay = RETRY
            self._changed()
        elif self._previews.failed:
            self._delay = min(SELDOM, self._delay * 1.5)
            self._wait()
