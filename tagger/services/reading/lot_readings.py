"""The cards of the open lot read ahead of the dealer, in a thread that mostly waits for a process.

What the desk asks is answered from what is there: nothing waits for a card to be read."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path
from threading import Condition, Thread
from typing import TYPE_CHECKING

from tagger.core.model.text import printable
from tagger.errors import ReadingError, TaggerError
from tagger.services.reading.reader import CardReader, card_key
from tagger.services.reading.reading_process import ReadingLost

if TYPE_CHECKING:
    from tagger.core.index.index import Index
    from tagger.core.model.arrangement import Card, Pair
    from tagger.core.reading.book import CardKey
    from tagger.core.reading.printed import CardReading, Evidence
    from tagger.imaging.reading.asked import ModelFiles

TRIES = 2  # for a card: what a process died of twice is left
PAUSES = (1.0, 5.0, 30.0)  # seconds before the next try, after one loss and more in a row
STOPPED = "Cards are not read at the moment ({why}); reading goes on by itself."


@dataclass(frozen=True)
class ReadingJob:
    """What is to be read: the cards in the order in which they are wanted, the lists, and by how
    many degrees scans are turned."""

    cards: Sequence[Card | Pair]
    lists: Index
    turns: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True)
class ReadingNews:
    """What happened: the card that was read by its identity, or None and what to tell the
    dealer."""

    card: int | None
    told: str = ""


class LotReadings:
    """Reads what it is told to, and answers what was read: a `Readings` for the desk."""

    def __init__(
        self,
        folder: Path,
        files: ModelFiles,
        report: Callable[[ReadingNews], None] = lambda news: None,
    ) -> None:
        """`report` is called from another thread."""
        self._reader = CardReader(folder, files)
        self._report = report
        self._change = Condition()
        self._job: ReadingJob | None = None
        self._turns: Mapping[str, int] = {}
        self._number = count()
        self._at = self._done = -1  # the numbers of the job that is wanted, and of that at work
        self._open, self._told = True, False
        self._thread: Thread | None = None
        self._lost: dict[CardKey, int] = {}

    def follow(self, job: ReadingJob) -> None:
        """Read these from now on, the first one first. Returns at once."""
        with self._change:
            self._job, self._turns = job, job.turns
            self._at = next(self._number)
            if self._thread is None and self._open:
                # a daemon, so that leaving never waits for it
                self._thread = Thread(target=self._work, name="reading", daemon=True)
                self._thread.start()
            self._change.notify_all()

    def of(self, card: Card) -> CardReading | None:
        """What was read on a card; see Readings."""
        return self._reader.book.reading(card_key(card, self._turns))

    def evidence_of(self, card: Card) -> Evidence | None:
        """What it says of the rows; see Readings."""
        return self._reader.book.evidence(card_key(card, self._turns))

    def pids(self) -> list[int]:
        """The process, where it runs."""
        return self._reader.process.pids()

    def close(self) -> None:
        """End all of it at once."""
        with self._change:
            self._open = False
            self._change.notify_all()
        self._reader.close()

    def _work(self) -> None:
        while True:
            with self._change:
                self._change.wait_for(lambda: self._at != self._done or not self._open)
                if not self._open:
                    return
                self._done, job = self._at, self._job
            try:
                if job is not None:
                    self._read_all(job, self._done)
            except ReadingError as error:
                self._report(ReadingNews(None, error.message))
                return

    def _read_all(self, job: ReadingJob, number: int) -> None:
        """Read the cards of a job until another is wanted. Raises ReadingError."""
        self._reader.book.use(job.lists)
        losses = 0
        for card in job.cards:
            key = card_key(card, job.turns)
            while self._lost.get(key, 0) < TRIES:
                if self._is_over(number):
                    return
                try:
                    if not self._reader.is_read(key):
                        self._reader.read(key)
                    # also of what was kept: whoever asks does not know it before it is looked up
                    self._report(ReadingNews(card.id))
                    losses = 0
                    break
                except ReadingLost as lost:
                    self._lost[key] = self._lost.get(key, 0) + 1
                    losses += 1
                    self._tell_lost(lost)
                    self._pause(number, PAUSES[min(losses, len(PAUSES)) - 1])
                except TaggerError:
                    break
        self._reader.process.rest()

    def _tell_lost(self, lost: ReadingLost) -> None:
        if self._open and not self._told:
            self._told = True  # once; it tries again by itself
            self._report(ReadingNews(None, STOPPED.format(why=printable(str(lost)))))

    def _pause(self, number: int, seconds: float) -> None:
        with self._change:
            self._change.wait_for(lambda: self._is_over(number), seconds)

    def _is_over(self, number: int) -> bool:
        return not self._open or self._at != number
