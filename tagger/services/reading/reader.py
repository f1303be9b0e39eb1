"""Cards of a lot read one by one: from the cache where they were read before, else by the process;
what of each is read is the book's to say."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.config import load_settings
from tagger.core.reading.book import CardKey, ReadingBook
from tagger.errors import ConfigError, ReadingError
from tagger.imaging.reading.asked import (
    CardAsked,
    ModelFiles,
    SideAsked,
    is_installed,
    model_files,
)
from tagger.services.reading.kept_readings import KeptReadings
from tagger.services.reading.reading_process import ReadingProcess
from tagger.store.caches.measured_cache import MeasuredCache
from tagger.store.machine.paths import config_file, measured_folder, readings_folder

if TYPE_CHECKING:
    from tagger.core.audit.measured import Measured
    from tagger.core.model.arrangement import Arrangement, Card, Pair
    from tagger.core.reading.places import Parts
    from tagger.core.reading.printed import CardReading


Known = Callable[[str], "Measured | None"]


def card_key(card: Card | Pair, turns: Mapping[str, int]) -> CardKey:
    """A card by what is read of it."""
    front, back = card.front, card.back
    return CardKey(front, turns.get(front or "", 0), back, turns.get(back or "", 0))


def turns_of(arrangement: Arrangement) -> dict[str, int]:
    """By how many degrees the scans of a lot are turned, those that are."""
    return dict(arrangement.mending.turns)


class CardReader:
    """Reads the cards of one folder. Of one thread at a time, but for `close`."""

    def __init__(
        self, folder: Path, files: ModelFiles, measured: MeasuredCache | None = None
    ) -> None:
        self.book = ReadingBook()
        self.process = ReadingProcess(folder, files)
        self._measured = measured or MeasuredCache(measured_folder(), folder)
        self._kept = KeptReadings(folder, readings_folder(), files.name, self._measured)
        self._looked_up: set[CardKey] = set()

    def look_up(self, key: CardKey) -> None:
        """Know of a card what was read of it before."""
        if key in self._looked_up:
            return
        self._looked_up.add(key)
        kept = self._kept.get(key)
        if kept is not None:
            self.book.put(key, kept)

    def is_read(self, key: CardKey) -> bool:
        """Whether nothing more is to be read of a card."""
        self.look_up(key)
        return self.book.wanted(key) is None

    def read(self, key: CardKey) -> None:
        """Read what is to be read of a card, to its end. Raises ReadingLost, ReadingError."""
        self.look_up(key)
        while (parts := self.book.wanted(key)) is not None:
            reading = self.process.read(_asked(key, parts, self._measured.get))
            self._kept.put(key, reading)
            self.book.put(key, reading)

    def settle(self) -> None:
        """Wait until all that was read is kept."""
        self._kept.settle()

    def close(self) -> None:
        """End the process."""
        self.process.close()


def kept_readings(
    folder: Path, arrangement: Arrangement
) -> Callable[[Card | Pair], CardReading | None]:
    """What gives the readings of a lot's cards that are kept, None for a card that was not read."""
    # to know which pictures they are takes a look at each file
    if not os.path.isdir(readings_folder()) or not is_installed():
        return lambda card: None
    try:
        model = model_files(load_settings(config_file()).model)
    except (ConfigError, ReadingError):  # told where cards are to be read
        return lambda card: None
    measured = MeasuredCache(measured_folder(), folder)
    kept = KeptReadings(folder, readings_folder(), model.name, measured)
    turns = turns_of(arrangement)
    return lambda card: kept.get(card_key(card, turns))


def _asked(key: CardKey, parts: Parts, known: Known) -> CardAsked:
    sides = {}
    if key.front is not None:
        sides["front"] = _side(key.front, key.front_turn, known)
    if key.back is not None:
        sides["back"] = _side(key.back, key.back_turn, known)
    # a card without the side that its set has the number on is read whole
    return CardAsked(sides, parts if set(parts) <= set(sides) else {})


def _side(scan: str, turn: int, known: Known) -> SideAsked:
    measured = known(scan)
    if measured is None or measured.corners is None:
        return SideAsked(scan, turn)
    return SideAsked(scan, turn, measured.corners, measured.dpi, measured.size)
