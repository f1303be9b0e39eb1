"""What was read on cards, laid down by hand: stands in for an engine, through the public port."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from tagger.core.index.index import Index
from tagger.core.model.arrangement import Arrangement, Card
from tagger.core.model.tags import Tags
from tagger.core.reading.printed import Box, CardReading, Evidence, Spot
from tagger.core.session.seen import Print

NUMBER_AT = Spot("back", Box(0.7, 0.84, 0.84, 0.92))
NAME_AT = Spot("front", Box(0.1, 0.8, 0.7, 0.9))
CLEAR, FAINT = 16.0, 5.0  # log weights of a card that is read whole, and of one of which a part is


def evidence(index: Index, tags: Tags, weight: float = CLEAR, alone: bool = True) -> Evidence:
    """What says that a card is this one of the checklists."""
    step = index.find(tags.set, tags.number, tags.subject)
    assert step is not None
    return Evidence({step: weight}, step if alone else None, NUMBER_AT, NAME_AT)


def printed(index: Index, tags: Tags, weight: float = CLEAR, alone: bool = True) -> Print:
    """The same as the desk has it."""
    return Print(evidence(index, tags, weight, alone), tags if alone else None)


class LaidReadings:
    """Readings by the card's identity, as they were laid down; of a card that is missing nothing
    was read yet."""

    def __init__(self, found: Mapping[int, Evidence]) -> None:
        self.found = dict(found)
        self.came: Callable[[str], None] = lambda told: None
        self.positions: list[int] = []

    def of(self, card: Card) -> CardReading | None:
        return CardReading() if card.id in self.found else None

    def evidence_of(self, card: Card) -> Evidence | None:
        return self.found.get(card.id)

    def begin(self, came: Callable[[str], None]) -> None:
        self.came = came

    def ahead(self, arrangement: Arrangement, position: int, carried: str) -> None:
        self.positions.append(position)

    def know(self, index: Index) -> None:
        pass

    def close(self) -> None:
        pass
