"""The cards of an open lot read ahead of the dealer: begun when the first card is on the screen,
and led by where the dealer is."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.core.model.tags import State
from tagger.errors import ReadingError

if TYPE_CHECKING:
    from tagger.core.index.index import Index
    from tagger.core.lot.view import LotView
    from tagger.core.model.arrangement import Arrangement, Card, Pair
    from tagger.core.reading.printed import CardReading, Evidence
    from tagger.services.reading.lot_readings import LotReadings, ReadingNews

FAR = 200  # cards that are read ahead of the dealer; behind them it goes on from there


class ReadAhead:
    """Reads with the network of the extra, or with the one of a named file."""

    def __init__(self, view: LotView, folder: Path, model: str = "") -> None:
        self._view, self._folder, self._model = view, folder, model
        self._came: Callable[[str], None] = lambda told: None
        self._readings: LotReadings | None = None
        self._index: Index | None = None
        self._wanted: tuple[Arrangement, Index | None, int] | None = None
        self._front = 0

    def begin(self, came: Callable[[str], None]) -> None:
        """Read from now on; `came` is called from another thread when more was read of the card in
        front, and with what is to be told."""
        # what reads is loaded now: the first card is on the screen
        from tagger.imaging.reading.asked import model_files
        from tagger.services.reading.lot_readings import LotReadings

        self._came = came
        try:
            self._readings = LotReadings(self._folder, model_files(self._model), self._told)
        except ReadingError as error:
            came(error.message)

    def _told(self, news: ReadingNews) -> None:
        if news.told or news.card == self._front:
            self._came(news.told)

    def know(self, index: Index) -> None:
        """These are the rows of the checklists from now on."""
        self._index = index

    def ahead(self, position: int) -> None:
        """The dealer is at this card: read it first, then those behind it."""
        arrangement, index = self._view.arrangement, self._index
        wanted = arrangement, index, position
        if self._readings is None or index is None or wanted == self._wanted:
            return
        from tagger.services.reading.lot_readings import ReadingJob
        from tagger.services.reading.reader import turns_of

        self._wanted = wanted
        cards = list(self._untagged(position))
        self._front = cards[0].id if cards else 0
        self._readings.follow(ReadingJob(cards, index, turns_of(arrangement)))

    def _untagged(self, position: int) -> Iterator[Pair]:
        view = self._view
        pairs = view.arrangement.pairs[position - 1 : position - 1 + FAR]
        return (pair for pair in pairs if view.mark(pair.id).state is State.UNTAGGED)

    def of(self, card: Card) -> CardReading | None:
        """What was read on a card; see Readings."""
        return None if self._readings is None else self._readings.of(card)

    def evidence_of(self, card: Card) -> Evidence | None:
        """What it says of the rows; see Readings."""
        return None if self._readings is None else self._readings.evidence_of(card)

    def close(self) -> None:
        """End it."""
        if self._readings is not None:
            self._readings.close()
