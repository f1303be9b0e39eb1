"""When the desk is drawn: after the keys that have come, no faster than the line takes it, finer when all is quiet."""

from __future__ import annotations

import time
from collections.abc import Callable

from textual.screen import Screen
from textual.timer import Timer

from tagger.ui.driver import TerminalDriver

QUIET = 0.25  # seconds without a key after which finer colours are sent
SLICE, PAUSE = 3, 0.03  # rows of each view sent at once, and seconds between: a key waits for one slice at most
RUSH, HOLD = 0.025, 0.02  # seconds between two steps that no finger makes, and to wait for the next of them
SOON, LATE = 0.004, 0.1  # seconds after which a line that is behind is looked at again, at first and at last


class Painting:
    """Calls `draw` once for all keys that have come so far, and `finer` with a number of rows, until that says that
    there are no others."""

    def __init__(self, screen: Screen[None], draw: Callable[[], None], finer: Callable[[int], bool]) -> None:
        self._screen = screen
        self._draw = draw
        self._finer = finer
        self._asked = False
        self._wait = SOON
        self._position = 0
        self._stepped = 0.0
        self._rushing = False
        self._timer: Timer | None = None

    def later(self) -> None:
        """Draw when the keys that have come are done."""
        if not self._asked:
            self._asked = True
            # By way of the app: keys that it has not passed on yet come first.
            self._screen.app.call_later(self._screen.call_later, self._due)

    def _due(self) -> None:
        driver = self._screen.app._driver
        if isinstance(driver, TerminalDriver) and (driver.keys_wait or driver.behind):
            self._screen.set_timer(self._wait, self._due)
            self._wait = min(LATE, self._wait * 1.5)
            return
        self._wait = SOON
        self.now()

    def now(self) -> None:
        """Draw at once."""
        self._asked = False
        if self._timer is not None:
            self._timer.stop()
        self._draw()
        if not self._rushing:
            self._timer = self._screen.set_timer(QUIET, self._refine)

    def steps_over(self, position: int) -> bool:
        """Whether the pictures of the card in front are left out for now, because the next step is on its way."""
        now = time.monotonic()
        stepped = position != self._position
        self._rushing = (stepped and now - self._stepped < RUSH) or (not stepped and self._rushing and self._held(now))
        if stepped:
            self._position, self._stepped = position, now
        if self._rushing:
            self._screen.set_timer(HOLD, self.later)
        return self._rushing

    def _held(self, now: float) -> bool:
        return now - self._stepped < HOLD * 0.9

    def _refine(self) -> None:
        driver = self._screen.app._driver
        behind = isinstance(driver, TerminalDriver) and driver.behind
        if behind or self._finer(SLICE):
            self._timer = self._screen.set_timer(PAUSE, self._refine)
