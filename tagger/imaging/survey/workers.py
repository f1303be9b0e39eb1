"""Processes beside the one that the user sees, and that others take the place of where they died.

None outlives the program, however that ends.
"""

from __future__ import annotations

import contextlib
import os
import signal
import sys
from collections.abc import Callable
from concurrent.futures import BrokenExecutor, Future
from threading import Lock, Thread
from typing import TYPE_CHECKING, TypeVar

from tagger.imaging.scan.decode_limit import take_turns, task_done
from tagger.imaging.scan.decoder_words import decoders_kept_quiet

if TYPE_CHECKING:
    from multiprocessing.connection import Connection

    from tagger.imaging.survey.free_core import FreeCore
    from tagger.imaging.survey.process_pool import ProcessPool

Answer = TypeVar("Answer")
WORKERS = 2


class Workers:
    """So many processes, begun with the first work. May be used from any thread. They give way to
    all others unless they are `busy` with what the user waits for; those behind a desk leave it a
    core `free`. Ctrl+C and a line that drops are left to the program."""

    def __init__(
        self, count: int = WORKERS, busy: bool = False, free: FreeCore | None = None
    ) -> None:
        self._count, self._lock, self._busy, self._free = count, Lock(), busy, free
        self._pool: ProcessPool | None = None
        self._resting: list[ProcessPool] = []
        self._closed = False

    def submit(self, work: Callable[..., Answer], *given: object) -> Future[Answer]:
        """Have it done. The future raises BrokenExecutor where a process died meanwhile, and with
        it all that were at work; what is submitted then is done by fresh ones. Raises RuntimeError
        once they are closed."""
        with self._lock:
            if self._closed:
                raise RuntimeError("the workers are closed")
            _start_tracker()
            try:
                return self._begun().submit(_task, work, *given)
            except BrokenExecutor:
                self._pool = None
                return self._begun().submit(_task, work, *given)

    def rest(self) -> None:
        """End them when what they are at is done, until there is work again."""
        with self._lock:
            pool, self._pool = self._pool, None
            if pool is not None:
                pool.rest()
                self._resting = [one for one in self._resting if one.pids()] + [pool]

    def close(self) -> None:
        """End them at once, whatever they are at; for good."""
        with self._lock:
            self._closed = True
            pools = [*self._resting, *filter(None, [self._pool])]
            self._resting, self._pool = [], None
        for pool in pools:
            pool.kill()

    def pids(self) -> list[int]:
        """The processes that run now."""
        return [] if self._pool is None else self._pool.pids()

    def _begun(self) -> ProcessPool:
        if self._pool is None:
            # loaded with the first work: the first card is on the screen before
            from multiprocessing import Pipe

            from tagger.imaging.survey.process_pool import ProcessPool

            # A new one with each pool: a process that died may have had the turn.
            turn = Pipe(duplex=False)
            os.write(turn[1].fileno(), b".")
            begin = _keep_up if self._busy else _give_way
            self._pool = ProcessPool(self._count, begin, *turn, free=self._free)
        return self._pool


def _start_tracker() -> None:
    from multiprocessing import resource_tracker

    # It ends with the program, and must not before: a lost line is told to both, as Ctrl+C is.
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGHUP})
    try:
        # It is handed the file behind sys.stderr, and on the desk that is an object without one.
        with contextlib.redirect_stderr(sys.__stderr__):
            resource_tracker.ensure_running()
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _give_way(waiting: Connection, giving: Connection) -> None:
    with contextlib.suppress(OSError):
        os.nice(19)
    take_turns(waiting, giving)
    _follow_parent()


def _keep_up(waiting: Connection, giving: Connection) -> None:
    take_turns(waiting, giving)
    _follow_parent()


def _task(work: Callable[..., Answer], *given: object) -> Answer:
    try:
        # standard error is the screen of whoever began this process
        with decoders_kept_quiet():
            return work(*given)
    finally:
        task_done()


def _follow_parent() -> None:
    Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    """A process that waits for work does not notice that the one that gives it was killed."""
    from multiprocessing import parent_process

    parent = parent_process()
    if parent is not None:
        parent.join()
        os._exit(0)
