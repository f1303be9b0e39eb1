"""The lines of print on a card as they are compared with lists: folded, and joined where a name
goes on in the line below."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from tagger.core.model.text import fold
from tagger.core.reading.printed import Box, PrintedText, Spot

if TYPE_CHECKING:
    from tagger.core.reading.printed import CardReading

LEAST = 0.5  # confidence of a line that is looked at
GAP, BESIDE = 1.1, 1.6  # heights of a line: to the next line of a name, to its next word
_WORDS = re.compile(r"[^\W_]+")


@dataclass(frozen=True)
class ReadLine:
    """A line, or two that may be one name. `parts` are the texts in it."""

    parts: tuple[PrintedText, ...]

    @cached_property
    def text(self) -> str:
        """What it says, folded."""
        return fold(" ".join(part.text for part in self.parts))

    @cached_property
    def words(self) -> tuple[str, ...]:
        """Its words, folded."""
        return tuple(_WORDS.findall(self.text))

    @cached_property
    def joined(self) -> str:
        """Its letters and digits alone."""
        return "".join(self.words)

    @property
    def spot(self) -> Spot:
        """Where it stands on the scan."""
        first = self.parts[0]
        return Spot(first.side, _around([part.box for part in self.parts]), first.turn)

    @property
    def on_card(self) -> Spot:
        """Where it stands on the straight card."""
        return Spot(self.parts[0].side, _around([part.on_card for part in self.parts]))


def lines_of(reading: CardReading) -> list[ReadLine]:
    """The lines that say something, and pairs of them that may be one name."""
    texts = [text for text in reading.texts if text.confidence >= LEAST]
    lines = [ReadLine((text,)) for text in texts]
    return [line for line in (*lines, *_pairs(texts)) if line.joined]


def _pairs(texts: Sequence[PrintedText]) -> Iterator[ReadLine]:
    """`ADA` over `MARSH`, and `ADA` before `MARSH`."""
    named = [text for text in texts if _could_be_name(text.text)]
    for upper in named:
        for lower in named:
            if upper is not lower and upper.side == lower.side and _goes_on(upper, lower):
                yield ReadLine((upper, lower))


def _could_be_name(text: str) -> bool:
    # Every pair of lines is tried: without this a back of fifty lines of statistics would give
    # thousands.
    return len(text) <= 24 and not any(char.isdigit() for char in text)


def _goes_on(first: PrintedText, second: PrintedText) -> bool:
    """Whether the second line may be the rest of a name that the first one begins."""
    a, b = first.on_card, second.on_card
    high = max(a.bottom - a.top, b.bottom - b.top)
    low = min(a.bottom - a.top, b.bottom - b.top)
    overlap = min(a.right, b.right) - max(a.left, b.left)
    below = b.top - a.bottom
    # By the lower of the two: a given name is often set smaller than the surname under it.
    if overlap > 0 and abs(below) < GAP * low and b.top > a.top + low / 3:
        return True
    level = abs((a.top + a.bottom) - (b.top + b.bottom)) < high
    return level and 0 <= b.left - a.right < BESIDE * high


def _around(boxes: Sequence[Box]) -> Box:
    return Box(
        min(box.left for box in boxes), min(box.top for box in boxes),
        max(box.right for box in boxes), max(box.bottom for box in boxes),
    )  # fmt: skip
