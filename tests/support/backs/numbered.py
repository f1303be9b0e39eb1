"""What a maker of sides that bear the number gives."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass

from PIL import Image

SIZE = (750, 1050)  # 2.5 x 3.5 in at 300 dpi

Colour = tuple[int, int, int]
Box = tuple[float, float, float, float]


@dataclass(frozen=True)
class NumberedSide:
    """A printed side, 750 x 1050 pixels, and the box of its card number in these: left, top,
    right, bottom."""

    picture: Image.Image
    number: str
    box: Box


Print = Callable[[str, random.Random], NumberedSide]
"""Prints the card of this number in one design; what else is written comes from the source."""
Maker = Callable[[random.Random], Print]
"""Draws up a design."""


def cards_of(make: Maker, seed: str, count: int) -> list[NumberedSide]:
    """Backs of one new design as they lie in a tray: numbers rise by one or a few, now and then
    one comes twice, and many sets have letters before the figures."""
    rng = random.Random(seed)
    printing = make(rng)
    prefix = rng.choices(("", "RC-", "T", "LH-"), (80, 8, 6, 6))[0]
    at = rng.choice((rng.randint(1, 8), rng.randint(10, 90), rng.randint(100, 700)))
    cards = []
    for _ in range(count):
        cards.append(printing(f"{prefix}{at}", random.Random(f"{seed} {at}")))
        at += rng.choices((0, 1, 2, 3, 7), (12, 58, 15, 10, 5))[0]
    return cards
