"""A processor that is left to the desk while keys come.

A key that comes while each processor is busy waits until the system takes one away from whoever has
it, some milliseconds each time, however low that one's priority is. With one processor free it
waits for nobody."""

from __future__ import annotations

import os
from collections import deque
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from math import inf
from threading import Condition
from time import monotonic

PAUSE = 1.0  # seconds without a key after which all processors are used again


class FreeCore:
    """Says when a process behind the desk may begin a task. What is begun is done to its end. One
    for all processes behind a desk, and of any thread; `now` gives seconds."""

    def __init__(self, cores: int | None = None, now: Callable[[], float] = monotonic) -> None:
        cores = cores or _usable_cores()
        # where there is only one, none can be left free
        self._most = cores - 1 if cores > 1 else inf
        self._now = now
        self._change = Condition()
        self._waiting: deque[object] = deque()
        self._at_work = 0
        self._last = -inf  # when the last key came

    def key_came(self) -> None:
        """The user is at it: leave a processor free for a while."""
        self._last = self._now()

    @contextmanager
    def task(self, given_up: Callable[[], bool] = lambda: False) -> Iterator[None]:
        """Begin a task when it is its turn, and say so when it is done. `given_up`: nobody wants it
        any more, so it waits no longer; `look_again` has that asked."""
        turn = object()
        with self._change:
            # in the order in which they came: the first scans are wanted first
            self._waiting.append(turn)
            while not (given_up() or (self._waiting[0] is turn and self._seconds() <= 0)):
                self._change.wait(max(0.0, self._seconds()) or None)
            self._waiting.remove(turn)
            self._at_work += 1
            self._change.notify_all()
        try:
            yield
        finally:
            with self._change:
                self._at_work -= 1
                self._change.notify_all()

    def look_again(self) -> None:
        """Something was given up."""
        with self._change:
            self._change.notify_all()

    def _seconds(self) -> float:
        """How long another task has to wait, unless one ends before that."""
        return self._last + PAUSE - self._now() if self._at_work >= self._most else 0.0


def _usable_cores() -> int:
    """How many processors this program may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


# that of the desk: the processors are shared by all that goes on behind it
FREE_CORE = FreeCore()
