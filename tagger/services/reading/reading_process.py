"""The process that reads cards. It gives way to all others; where it dies, hangs or takes too much
memory another takes its place."""

from __future__ import annotations

from concurrent.futures import BrokenExecutor, CancelledError
from concurrent.futures import TimeoutError as TookTooLong
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.imaging.reading.asked import read_in_process
from tagger.imaging.survey.free_core import FREE_CORE
from tagger.imaging.survey.workers import Workers

if TYPE_CHECKING:
    from tagger.core.reading.printed import CardReading
    from tagger.imaging.reading.asked import CardAsked, ModelFiles

PATIENCE = 60.0  # seconds for a card, after which it counts as hung; it takes 1 or 2
MEMORY = 300 << 20  # bytes


class ReadingLost(Exception):
    """The process died over a card or did not answer; the next one is read by another."""


class ReadingProcess:
    """Reads one card at a time, in one process of one thread. Of one thread at a time, but for
    `close`."""

    def __init__(self, folder: Path, files: ModelFiles, patience: float = PATIENCE) -> None:
        self._folder, self._files, self._patience = folder, files, patience
        self._workers = Workers(1, free=FREE_CORE)
        self._closed = False

    def read(self, asked: CardAsked) -> CardReading:
        """What is read on a card. Raises ReadingLost, and ReadingError where no card can be read on
        this machine."""
        try:
            work = self._workers.submit(read_in_process, self._folder, asked, self._files)
            answer = work.result(self._patience)
        except TookTooLong:
            self._begin_anew()
            raise ReadingLost("it did not answer") from None
        except (BrokenExecutor, CancelledError, OSError, MemoryError, RuntimeError) as error:
            raise ReadingLost("it ended") from error
        if answer.memory > MEMORY:
            self._workers.rest()
        return answer.reading

    def rest(self) -> None:
        """End it until it is asked again."""
        self._workers.rest()

    def pids(self) -> list[int]:
        """The process, where it runs."""
        return self._workers.pids()

    def close(self) -> None:
        """End it at once, for good."""
        self._closed = True
        self._workers.close()

    def _begin_anew(self) -> None:
        self._workers.close()
        self._workers = Workers(1, free=FREE_CORE)
        if self._closed:  # meanwhile, by another thread
            self._workers.close()
