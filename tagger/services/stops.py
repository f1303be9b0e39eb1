"""What ends a command from outside: Ctrl+C, SIGTERM, and SIGHUP when the line drops.

The first of them raises KeyboardInterrupt, so that all that is at work cleans up behind itself.
Those that follow change nothing: they would stop the cleaning up. Screens have their own way to
leave in order, see `ui/terminal/app.py`."""

from __future__ import annotations

import os
import signal
import sys
import time
from _thread import get_ident, start_new_thread
from types import FrameType
from typing import TYPE_CHECKING

from tagger.errors import FAILED

if TYPE_CHECKING:
    from sys import UnraisableHookArgs

STOPS = (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)
LIMIT = 3.0  # seconds that cleaning up may take, as where a disk does not answer


class Stops:
    """Heeds what ends the program, from `heed` to `over`. `asked` says whether anything did."""

    def __init__(self) -> None:
        self.asked = False
        self._over = False
        self._main = get_ident()
        self._number = signal.SIGINT

    def heed(self) -> None:
        """Raise KeyboardInterrupt in this thread from now on, once."""
        for number in STOPS:
            # what started the program may want it ignored: nohup, a shell without job control
            if signal.getsignal(number) is not signal.SIG_IGN:
                signal.signal(number, self._stop)
        sys.unraisablehook = self._unraised

    def over(self) -> None:
        """The work is done: what comes now changes nothing."""
        self._over = True
        for number in STOPS:
            # Python's own end would let the system end the program where a handler stands
            if signal.getsignal(number) == self._stop:
                signal.signal(number, signal.SIG_IGN)

    def _stop(self, number: int, frame: FrameType | None) -> None:
        if self.asked or self._over:
            return
        self.asked, self._number = True, signal.Signals(number)
        start_new_thread(_end_in_any_case, ())
        raise KeyboardInterrupt

    def _unraised(self, what: UnraisableHookArgs) -> None:
        """Python drops what is raised while an object is deleted, and would print a traceback."""
        if what.exc_type is KeyboardInterrupt:
            start_new_thread(self._once_more, ())
        else:
            sys.__unraisablehook__(what)

    def _once_more(self) -> None:
        time.sleep(0.01)  # until the deletion is over
        self.asked = False
        signal.pthread_kill(self._main, self._number)


def _end_in_any_case() -> None:
    time.sleep(LIMIT)
    os._exit(FAILED)
