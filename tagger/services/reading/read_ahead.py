"""What reads the cards of an open lot, loaded when the first card is on the screen and beside the
desk: what reads hints comes with it, and no key waits for it."""

from __future__ import annotations

from collections.abc import Callable
from threading import Lock, Thread
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

    from tagger.config import Settings
    from tagger.core.index.index import Index
    from tagger.core.model.arrangement import Arrangement, Card
    from tagger.core.reading.printed import CardReading, Evidence
    from tagger.services.reading.lot_readings import LotReadings


class ReadAhead:
    """The `LotReadings` of a folder, a moment after `begin`; what was asked before that is asked
    then."""

    def __init__(self, folder: Path, settings: Settings) -> None:
        self._folder, self._settings = folder, settings
        self._lock = Lock()
        self._readings: LotReadings | None = None
        self._asked: dict[str, Callable[[LotReadings], None]] = {}
        self._loading, self._open = False, True

    def begin(self, came: Callable[[str], None]) -> None:
        """Look up what is kept from now on; see LotReadings."""
        self._loading = True
        Thread(target=self._load, args=(came,), name="loads reading", daemon=True).start()

    def _load(self, came: Callable[[str], None]) -> None:
        from tagger.services.reading.lot_readings import readings_of

        readings = readings_of(self._folder, self._settings)
        with self._lock:
            if readings is not None and self._open:
                for ask in self._asked.values():
                    ask(readings)
                readings.begin(came)
                self._readings = readings
            # last: who asks meanwhile hears that more may come
            self._loading = False

    def _ask(self, name: str, ask: Callable[[LotReadings], None]) -> None:
        with self._lock:
            if self._readings is not None:
                ask(self._readings)
            else:
                self._asked[name] = ask

    def read_on(self) -> None:
        """Read from now on what is not kept; see LotReadings."""
        self._ask("read_on", lambda readings: readings.read_on())

    @property
    def catching_up(self) -> bool:
        """Whether it is still being looked up what is kept of the next cards."""
        return self._loading or (self._readings is not None and self._readings.catching_up)

    def ahead(self, arrangement: Arrangement, position: int, carried: str) -> None:
        """The dealer is at this card; see LotReadings."""
        self._ask("ahead", lambda readings: readings.ahead(arrangement, position, carried))

    def know(self, index: Index) -> None:
        """These are the rows of the checklists from now on."""
        self._ask("know", lambda readings: readings.know(index))

    def of(self, card: Card) -> CardReading | None:
        """What was read on a card; see Readings."""
        return None if self._readings is None else self._readings.of(card)

    def evidence_of(self, card: Card) -> Evidence | None:
        """What it says of the rows; see Readings."""
        return None if self._readings is None else self._readings.evidence_of(card)

    def close(self) -> None:
        """End all of it at once."""
        with self._lock:
            self._open = False
            if self._readings is not None:
                self._readings.close()
