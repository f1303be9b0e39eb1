"""What was read on cards, kept in the cache folder by what the pictures are: a scan that was
renamed or copied is not read again."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.core.feeding.scan_files import scan_digest, scan_file
from tagger.core.reading.reading_document import reading_document, reading_from
from tagger.errors import MALFORMED, PictureError
from tagger.store.caches.disk_cache import DiskCache
from tagger.store.files import digest_bounded

if TYPE_CHECKING:
    from tagger.core.reading.book import CardKey
    from tagger.core.reading.printed import CardReading
    from tagger.store.caches.measured_cache import MeasuredCache

VERSION = 3  # changes with what is read and how
LARGEST = 1 << 32  # bytes of a scan that is read
LIMIT = 128_000_000  # bytes: about 15,000 cards


class KeptReadings:
    """The readings of cards of one folder by one model. Nothing is raised: without them, cards are
    read again."""

    def __init__(self, folder: Path, cache: Path, model: str, measured: MeasuredCache) -> None:
        """`measured` knows what the pictures are that were measured already."""
        self._folder, self._model, self._measured = folder, model, measured
        self._files = DiskCache(cache, LIMIT)
        self._names: dict[CardKey, str] = {}

    def get(self, key: CardKey) -> CardReading | None:
        """What was read on a card, if its pictures are the same."""
        name = self._name(key)
        data = None if name is None else self._files.get(name)
        if data is None:
            return None
        try:
            return reading_from(json.loads(data))
        except MALFORMED:
            return None

    def put(self, key: CardKey, reading: CardReading) -> None:
        """Keep this."""
        name = self._name(key)
        if name is not None:
            self._files.put(name, json.dumps(reading_document(reading)).encode())

    def settle(self) -> None:
        """Wait until all of it is written."""
        self._files.settle()

    def _name(self, key: CardKey) -> str | None:
        """What stands for a card in the cache; None where a scan cannot be read."""
        known = self._names.get(key)
        if known is not None:
            return known
        try:
            front = self._side(key.front, key.front_turn)
            back = self._side(key.back, key.back_turn)
        except (OSError, PictureError):
            return None
        self._names[key] = name = f"reading {VERSION} {self._model} {front} {back}"
        return name

    def _side(self, scan: str | None, turn: int) -> str:
        if scan is None:
            return "-"
        known = self._measured.get(scan)
        if known is not None and known.digest:
            return f"{known.digest} {turn}"
        digest = digest_bounded(scan_file(self._folder, scan), LARGEST)
        return f"{scan_digest(digest, scan)} {turn}"
