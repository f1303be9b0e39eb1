"""A lot that is read from its folder, without the desk: what `tagger read` does, and how far it
is."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.model.tags import State
from tagger.core.reading.evidence import LIKELY
from tagger.errors import LotError, NoScans
from tagger.imaging.reading.asked import model_files
from tagger.services.lists.lot_checklists import read_lists
from tagger.services.opening import look
from tagger.services.progress import follow
from tagger.services.reading.reader import CardReader, card_key, kept_readings, turns_of
from tagger.services.reading.reading_process import ReadingLost

if TYPE_CHECKING:
    from tagger.core.index.index import Index
    from tagger.core.lot.lot import LotState
    from tagger.core.model.arrangement import Pair
    from tagger.core.model.tags import Row
    from tagger.store.machine.paths import LotPlace

TRIES = 2


class CardRead(NamedTuple):
    """A card that was read: its position, its scans, the row that speaks for itself or is the
    likeliest, None for none, and whether it is sure. `lost`: it could not be read."""

    position: int
    pair: Pair
    row: Row | None
    sure: bool
    lost: bool = False


class LotRead(NamedTuple):
    """What was read of a lot."""

    name: str
    cards: tuple[CardRead, ...]

    def counts(self) -> tuple[int, int, int]:
        """Sure, likely, and those of which nothing was read."""
        sure = sum(card.sure for card in self.cards)
        likely = sum(card.row is not None and not card.sure for card in self.cards)
        return sure, likely, len(self.cards) - sure - likely

    @property
    def lost(self) -> int:
        """Cards over which the process died or hung."""
        return sum(card.lost for card in self.cards)


def read_lot(place: LotPlace, lists: Sequence[Path], model: str) -> LotRead:
    """Read the cards of a lot that have no tag; a terminal shows how far it is. What was read stays
    when it is stopped. Raises LotError, NoScans, ReadingError."""
    lot, _ = look(place)
    if not lot.arrangement.pairs:
        raise NoScans(place.name)
    paths = [*lot.checklists, *(str(path.resolve()) for path in lists)]
    if not paths:
        raise LotError(f"{place.name} has no checklist; name one with --checklist.")
    files = model_files(model)
    reader = CardReader(place.folder, files)
    run = _Run(lot, read_lists(paths), reader)
    try:
        follow("cards read", run.steps())
        return LotRead(place.called(lot.name).name, tuple(run.read()))
    finally:
        reader.close()
        reader.settle()


class _Run:
    """The untagged cards of a lot, read one after the other."""

    def __init__(self, lot: LotState, index: Index, reader: CardReader) -> None:
        self._index, self._reader = index, reader
        turns = turns_of(lot.arrangement)
        self._todo = [
            (at, pair, card_key(pair, turns))
            for at, pair in enumerate(lot.arrangement.pairs, start=1)
            if lot.mark(pair.id).state is not State.TAGGED
        ]
        self._lost: set[int] = set()
        reader.book.use(index)

    def steps(self) -> Iterator[tuple[int, int]]:
        """Read; after each card how many of how many."""
        for count, (at, _, key) in enumerate(self._todo, start=1):
            for _try in range(TRIES):
                try:
                    self._reader.read(key)
                except ReadingLost:
                    continue
                break
            else:
                self._lost.add(at)
            yield count, len(self._todo)

    def read(self) -> Iterator[CardRead]:
        """What it came to: by the places that were learned from all of them."""
        for at, pair, key in self._todo:
            evidence = self._reader.book.evidence(key)
            sure = evidence is not None and evidence.alone is not None
            step = None if evidence is None else evidence.best(LIKELY)
            row = None if step is None else self._index.row(step)
            yield CardRead(at, pair, row, sure, at in self._lost)


def cards_read(place: LotPlace, lot: LotState) -> int:
    """Of how many cards of a lot anything was read; 0 where no cards can be read here."""
    reading_of = kept_readings(place.folder, lot.arrangement)
    return sum(reading_of(pair) is not None for pair in lot.arrangement.pairs)
