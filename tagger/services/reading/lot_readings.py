"""The cards of the open lot read ahead of the dealer, by a thread that mostly waits for a process.

What the desk asks is answered from what is there: nothing waits for a card to be read."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from threading import Condition, Thread
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.model.arrangement import Arrangement
from tagger.core.model.text import printable
from tagger.errors import ReadingError
from tagger.imaging.reading.asked import is_installed, model_files
from tagger.services.reading.reader import CardReader, card_key, turns_of
from tagger.services.reading.reading_process import ReadingLost

if TYPE_CHECKING:
    from pathlib import Path

    from tagger.config import Settings
    from tagger.core.index.index import Index
    from tagger.core.model.arrangement import Card, Pair
    from tagger.core.reading.book import CardKey, ReadingBook
    from tagger.core.reading.printed import CardReading, Evidence
    from tagger.imaging.reading.asked import ModelFiles

NEAR = 100  # cards before the one that is read which are weighed again
TRIES = 2  # for a card: what the process died of twice is left
PAUSES = (1.0, 5.0, 30.0)  # seconds before the next try, after one loss and more in a row
STOPPED = "Reading the cards was interrupted ({why}); it goes on by itself."


class _Wanted(NamedTuple):
    """Where the dealer is: read from here on, and then what lies behind."""

    arrangement: Arrangement
    position: int

    def cards(self) -> Iterator[Pair]:
        pairs = self.arrangement.pairs
        yield from pairs[self.position - 1 :]
        yield from reversed(pairs[: self.position - 1])


@dataclass
class _Near:
    """The cards next to the dealer's that were weighed, how much was learned by then, and how often
    in a row the process was lost."""

    keys: list[CardKey] = field(default_factory=list)
    learned: int = -1
    losses: int = 0


class LotReadings:
    """Reads the cards of a folder, those first that the dealer sees next, and answers what was
    read."""

    def __init__(self, folder: Path, model: Callable[[], ModelFiles]) -> None:
        """`model` says where the networks lie; it is asked in the thread that reads, and may raise
        ReadingError."""
        self._folder, self._model = folder, model
        self._reader: CardReader | None = None
        self._came: Callable[[str], None] = lambda told: None
        self._change = Condition()
        self._place = _Wanted(Arrangement(), 1)
        self._turns: dict[str, int] = {}
        self._index: Index | None = None
        self._asked = self._heard = 0  # how often something else was wanted, and was heeded
        self._caught_up = -1  # what was wanted when all was looked up that is kept of it
        self._begun, self._open, self._told = False, True, False
        self._may_read = False
        self._lost: dict[CardKey, int] = {}

    # What the desk asks; each answers at once

    def begin(self, came: Callable[[str], None]) -> None:
        """Look up what is kept from now on; `came` is called from another thread when more is
        there, with what is to be told of the work itself, mostly nothing."""
        with self._change:
            self._came = came
            if not self._begun and self._open:
                self._begun = True
                # a daemon, so that leaving never waits for it
                Thread(target=self._work, name="reading", daemon=True).start()

    def read_on(self) -> None:
        """Read from now on what is not kept."""
        if not self._may_read:
            with self._change:
                self._may_read = True
                self._wanted_else()

    @property
    def catching_up(self) -> bool:
        """Whether it is still being looked up what is kept of the next cards."""
        return self._begun and self._open and self._caught_up != self._asked

    def ahead(self, arrangement: Arrangement, position: int, carried: str) -> None:
        """The dealer is at this card: read it first, and then those behind it. What set is carried
        changes nothing: what is printed must say by itself which card it is."""
        del carried
        with self._change:
            if arrangement is not self._place.arrangement:
                self._turns = turns_of(arrangement)
            self._place = _Wanted(arrangement, position)
            self._wanted_else()

    def know(self, index: Index) -> None:
        """These are the rows of the checklists from now on."""
        with self._change:
            self._index = index
            if self._reader is not None:
                self._reader.book.use(index)
            self._wanted_else()

    def of(self, card: Card) -> CardReading | None:
        """What was read on a card; see Readings."""
        reader = self._reader
        return None if reader is None else reader.book.reading(card_key(card, self._turns))

    def evidence_of(self, card: Card) -> Evidence | None:
        """What it says of the rows; see Readings."""
        reader = self._reader
        return None if reader is None else reader.book.weighed(card_key(card, self._turns))

    def pids(self) -> list[int]:
        """The process, where it runs."""
        return [] if self._reader is None else self._reader.process.pids()

    def close(self) -> None:
        """End all of it at once."""
        with self._change:
            self._open = False
            self._change.notify_all()
            if self._reader is not None:
                self._reader.close()

    def _wanted_else(self) -> None:
        self._asked += 1
        self._change.notify_all()

    # In the thread that reads

    def _work(self) -> None:
        try:
            if not self._ready():
                return
            while self._next():
                self._read_all()
        except ReadingError as error:
            self._open = False
            self._came(error.message)

    def _ready(self) -> bool:
        """Know how cards are read; False where the desk was left meanwhile. Raises ReadingError."""
        reader = CardReader(self._folder, self._model())
        with self._change:
            if self._index is not None:
                reader.book.use(self._index)
            self._reader = reader
            if not self._open:
                reader.close()
            return self._open

    def _next(self) -> bool:
        """Wait until something else is wanted; False once the desk is left."""
        with self._change:
            self._change.wait_for(lambda: not self._open or self._asked != self._heard)
            self._heard = self._asked
            return self._open

    def _read_all(self) -> None:
        """Read all cards until something else is wanted, or look up those before the first that
        would have to be read. Raises ReadingError."""
        wanted, reader = self._heard, self._reader
        assert reader is not None
        near = _Near()
        for card in self._place.cards() if self._index is not None and len(self._index) else ():
            key = card_key(card, self._turns)
            if not (reader.is_read(key) or self._stands_out(reader, key)):
                self._caught_up = wanted
                if not self._may_read:
                    return
            self._read(reader, key, near)
            if self._is_over():
                return
        self._caught_up = wanted
        reader.process.rest()

    def _stands_out(self, reader: CardReader, key: CardKey) -> bool:
        """Whether a card of which only parts were read needs no more, once it is known from those
        before it where its set has its numbers."""
        if reader.book.reading(key) is None:
            return False
        learned = reader.book.learned
        for card in reversed(self._place.arrangement.pairs[: self._place.position - 1]):
            reader.look_up(card_key(card, self._turns))
            if reader.book.learned != learned and reader.is_read(key):
                return True
            if self._is_over():
                break
            learned = reader.book.learned
        return reader.is_read(key)

    def _read(self, reader: CardReader, key: CardKey, near: _Near) -> None:
        """Read and weigh one card, more than once where the process is lost."""
        while not self._is_over() and self._lost.get(key, 0) < TRIES:
            try:
                known = reader.is_read(key)
                if not known:
                    reader.read(key)
            except ReadingLost as lost:
                near.losses += 1
                self._lose(key, lost, near.losses)
                continue
            near.losses = 0
            # the first is the card in front: also what was read of it before comes now
            first = not near.keys
            if self._weigh(reader.book, key, near) or first or not known:
                self._came("")
            return

    def _weigh(self, book: ReadingBook, key: CardKey, near: _Near) -> bool:
        """Weigh a card ahead of the desk, which has no time for it, and those before it again where
        a place was learned from it; returns whether one was."""
        book.evidence(key)
        if len(near.keys) < NEAR:
            near.keys.append(key)
        if book.learned == near.learned:
            return False
        near.learned = book.learned
        for other in near.keys:
            book.evidence(other)
        return True

    def _lose(self, key: CardKey, lost: ReadingLost, losses: int) -> None:
        """The process died or hung over a card: say so once, and wait."""
        if not self._open:
            return
        self._lost[key] = self._lost.get(key, 0) + 1
        if not self._told:
            self._told = True
            self._came(STOPPED.format(why=printable(str(lost))))
        pause = PAUSES[min(losses, len(PAUSES)) - 1]
        with self._change:
            self._change.wait_for(lambda: not self._open, pause)

    def _is_over(self) -> bool:
        return not self._open or self._asked != self._heard


def readings_of(folder: Path, settings: Settings) -> LotReadings | None:
    """What reads the cards of a lot; None where the extra is not installed, or the user does not
    want it."""
    if not settings.read or not is_installed():
        return None
    return LotReadings(folder, lambda: model_files(settings.model))
