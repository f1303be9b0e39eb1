"""Hints as dealers type them, for a checklist."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence

from support.drawn import Truth


def hints(rows: Sequence[Truth], seed: int = 1) -> Iterator[tuple[Truth, str]]:
    """Without end: a card, and what could be typed for it. Numbers and beginnings of names, with a
    parallel, a serial number, a condition or a set now and then."""
    source = random.Random(seed)
    while True:
        row = source.choice(rows)
        first, last = (part.lower() for part in row.subject.split())
        number, year = row.number, row.set[2:4]
        yield (
            row,
            source.choice(
                (
                    number,
                    number,
                    last[:4],
                    f"{first[0]}{last[0]}",
                    f"{number} {last[:3]}",
                    f"{number} g 12/99 nm",
                    f"{last[:5]} silver",
                    f"{year} {last[:4]}",
                    f"{first} {last}",
                    _slip(last, source),
                )
            ),
        )


def _slip(word: str, source: random.Random) -> str:
    """The word with two neighbouring letters changed over."""
    at = source.randrange(1, len(word) - 1)
    return f"{word[:at]}{word[at + 1]}{word[at]}{word[at + 2 :]}"
