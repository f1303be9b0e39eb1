"""When the desk is drawn: after the keys that have come, no faster than the line takes it, finer
when all is quiet."""

from __future__ import annotations

import time
from collections.abc import Callable
from contextlib import ExitStack

from textual.screen import Screen
from textual.timer import Timer

from tagger.ui.terminal.driver import TerminalDriver
from tagger.ui.terminal.textual_private import driver_of, unpainted

QUIET = 0.25  # seconds without a key after which finer colours are sent
# rows of each view sent at once, and seconds between: a key waits for one slice at most
SLICE, PAUSE = 3, 0.03
# seconds between two steps that no finger makes, and to wait for another after them
RUSH, HOLD = 0.025, 0.02
UNSEEN = 0.1  # seconds after which a new screen is seen without its pictures
# seconds after which a line that is behind is looked at again, at first and at last
SOON, LATE = 0.004, 0.1


class FrameScheduler:
    """Calls `draw` once for all keys that have come so far; `pictures` for those of the card in
    front, when no further step is on its way; and `finer` with a number of rows, until that says
    that there are no others. A new screen is seen when `pictures` says that they are there, or do
    not matter."""

    def __init__(
        self,
        screen: Screen[None],
        position: Callable[[], int],
        draw: Callable[[], None],
        pictures: Callable[[], bool],
        finer: Callable[[int], bool],
    ) -> None:
        self._screen = screen
        self._where, self._draw, self._pictures, self._finer = position, draw, pictures, finer
        self.keys = 0  # that came since it was drawn last
        self._asked = False
        self._passed = 0  # by the driver, when it was asked last
        self._wait = SOON
        self._position = 0
        self._stepped = 0.0
        self._held = ExitStack()  # what keeps a step from being painted that another one follows
        self._coming: Timer | None = None
        self._quiet: Timer | None = None
        self._late: Timer | None = None
        self._appear = unpainted(screen)

    def close(self) -> None:
        """The screen is left; the one below it is drawn again."""
        self._held.close()

    def later(self) -> None:
        """Draw when the keys that have come are done."""
        if not self._asked:
            self._asked = True
            self._after_keys()

    def _after_keys(self) -> None:
        """Call `_due` when what has come so far is done. By way of the app: keys that it has not
        passed on yet come first."""
        if (driver := self._driver) is None:
            self._screen.app.call_later(self._behind_keys)
        else:
            self._passed = driver.passed
            driver.after_keys(self._behind_keys)

    def _behind_keys(self) -> None:
        self._screen.call_later(self._due)

    def _due(self) -> None:
        if self._busy():
            self._screen.set_timer(self._wait, self._due)
            self._wait = min(LATE, self._wait * 1.5)
            return
        self._wait = SOON
        if self._passed_more:
            self._after_keys()  # those that came meanwhile
        # the first card waits for nothing
        elif self._position and self._where() != self._position:
            self._step()
        else:
            self.now()

    def _step(self) -> None:
        """Draw the next card, unless another step follows: it may have come in the same packet, and
        is read while this one is drawn."""
        self._held.close()
        self._held.enter_context(self._screen.app.batch_update())
        self._asked = False
        self._draw()
        if self._passed_more or self._busy():
            self.later()
        else:
            self._drawn()

    @property
    def _passed_more(self) -> bool:
        """Whether keys came since they were waited for."""
        return self._driver is not None and self._driver.passed != self._passed

    def _busy(self) -> bool:
        return self._driver is not None and (self._driver.keys_wait or self._driver.behind)

    @property
    def _driver(self) -> TerminalDriver | None:
        """What reads the keys, in a terminal."""
        driver = driver_of(self._screen.app)
        return driver if isinstance(driver, TerminalDriver) else None

    def now(self) -> None:
        """Draw at once."""
        self._asked = False
        self._draw()
        self._drawn()

    def _drawn(self) -> None:
        """What is drawn is shown, with its pictures where no further step is on its way."""
        self._held.close()
        # Several keys at once come from no finger: the rest of what is read in two pieces follows.
        keys, self.keys = self.keys, 0
        position, now = self._where(), time.monotonic()
        if position != self._position:
            rushing = keys > 1 or now - self._stepped < RUSH
            self._position, self._stepped = position, now
            if rushing:
                self._come(HOLD)
                return
        if self._coming is None:
            self._show()

    def _come(self, delay: float) -> None:
        if self._coming is not None:
            self._coming.stop()
        self._coming = self._screen.set_timer(delay, self._came)

    def _came(self) -> None:
        self._coming = None
        if self._busy():
            self._come(SOON)
        else:
            self._show()

    def _show(self) -> None:
        if self._pictures():
            self._appear()
        elif self._late is None:
            self._late = self._screen.set_timer(UNSEEN, self._appear)
        if self._quiet is not None:
            self._quiet.stop()
        self._quiet = self._screen.set_timer(QUIET, self._refine)

    def _refine(self) -> None:
        if self._busy() or self._finer(SLICE):
            self._quiet = self._screen.set_timer(PAUSE, self._refine)
