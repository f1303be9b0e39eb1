"""What reads the cards of an open lot, loaded when the first card is on the screen: what reads
hints comes with it, and is not to be waited for."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

    from tagger.config import Settings
    from tagger.core.index.index import Index
    from tagger.core.model.arrangement import Arrangement, Card
    from tagger.core.reading.printed import CardReading, Evidence
    from tagger.services.reading.lot_readings import LotReadings


class ReadAhead:
    """The `LotReadings` of a folder, from `begin` on; before that nothing was read."""

    def __init__(self, folder: Path, settings: Settings) -> None:
        self._folder, self._settings = folder, settings
        self._readings: LotReadings | None = None

    def begin(self, came: Callable[[str], None]) -> None:
        """Read from now on; see LotReadings."""
        from tagger.services.reading.lot_readings import readings_of

        self._readings = readings_of(self._folder, self._settings)
        if self._readings is not None:
            self._readings.begin(came)

    def ahead(self, arrangement: Arrangement, position: int, carried: str) -> None:
        """The dealer is at this card; see LotReadings."""
        if self._readings is not None:
            self._readings.ahead(arrangement, position, carried)

    def know(self, index: Index) -> None:
        """These are the rows of the checklists from now on."""
        if self._readings is not None:
            self._readings.know(index)

    def of(self, card: Card) -> CardReading | None:
        """What was read on a card; see Readings."""
        return None if self._readings is None else self._readings.of(card)

    def evidence_of(self, card: Card) -> Evidence | None:
        """What it says of the rows; see Readings."""
        return None if self._readings is None else self._readings.evidence_of(card)

    def close(self) -> None:
        """End all of it at once."""
        if self._readings is not None:
            self._readings.close()
