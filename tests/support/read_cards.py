"""Readings of cards as an engine would give them, laid down line by line."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tagger.core.checklist.checklist import Checklist
from tagger.core.index.index import Index
from tagger.core.model.tags import Row
from tagger.core.reading.printed import Box, CardReading, PrintedText


def line(side: str, text: str, x: float, y: float, share: float = 0.99, **more) -> PrintedText:
    """A line whose left upper corner stands there, as shares of the card."""
    box = Box(x, y, min(1.0, x + 0.02 * len(text)), y + 0.03)
    return PrintedText(side, text, share, box, on_card=box, **more)


def card(
    number: str, name: str, said: str, year: str = "© 1987 Lantern Card Works", whole: bool = True
) -> CardReading:
    """A card with its name on both sides, its number at the upper left of the back, a table with
    counts, a sentence, and last lines."""
    texts = [
        line("front", name.upper(), 0.2, 0.8),
        line("back", number, 0.1, 0.08),
        line("back", name, 0.3, 0.08),
        line("back", "1985", 0.1, 0.3),
        line("back", "45", 0.4, 0.3),
        line("back", "77", 0.6, 0.3),
        line("back", "Played beside Abe Marsden for 12 seasons, and was", 0.05, 0.5),
        line("back", said, 0.1, 0.9),
        line("back", year, 0.1, 0.94),
    ]
    return CardReading(tuple(texts), whole)


def listed(*sets: Iterable[Row]) -> Index:
    """An index of the rows of some sets."""
    return Index(Checklist([row for rows in sets for row in rows]))


def a_set(name: str, subjects: Sequence[str], first: int = 21) -> list[Row]:
    """The rows of a set, numbered from `first`."""
    return [Row(name, str(at), subject, "Gulls") for at, subject in enumerate(subjects, first)]
