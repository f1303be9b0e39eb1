"""Both sides of a card as they left the printing press."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

from PIL import Image

from tagger.demo.art.sheet import Box
from tagger.demo.sets.back_ferry import ferry_back
from tagger.demo.sets.backs_harbor import boards_back, keepers_back, pennant_back
from tagger.demo.sets.backs_squall import current_back, squall_back
from tagger.demo.sets.front_boards import boards_front
from tagger.demo.sets.front_current import current_front
from tagger.demo.sets.front_ferry import ferry_front
from tagger.demo.sets.front_keepers import keepers_front
from tagger.demo.sets.front_pennant import pennant_front
from tagger.demo.sets.front_squall import squall_front
from tagger.demo.sets.scenario import ListedCard, set_named

Front = Callable[[ListedCard, str, str], Image.Image]
Back = Callable[[ListedCard, str], tuple[Image.Image, Box]]

_DESIGNS: dict[str, tuple[Front, Back]] = {
    "ferry": (ferry_front, ferry_back),
    "pennant": (pennant_front, pennant_back),
    "boards": (boards_front, boards_back),
    "squall": (squall_front, squall_back),
    "current": (current_front, current_back),
    "keepers": (keepers_front, keepers_back),
}


@dataclass(frozen=True)
class Printed:
    """Both sides of a card, 750 x 1050 pixels at 300 dpi.

    ``number_box`` is where the card number stands on the back: left, top, right, bottom in pixels.
    """

    front: Image.Image
    back: Image.Image
    number_box: Box


def _design(row: ListedCard) -> tuple[Front, Back]:
    # Rising Current cards are listed in Squall Line and have a design of their own.
    return _DESIGNS["current" if row.number.startswith("RC-") else set_named(row.set).design]


def printed_back(row: ListedCard, parallel: str) -> tuple[Image.Image, Box]:
    """Print the back of one card; gives its picture and the box of the card number, both as in
    `Printed`."""
    return _design(row)[1](row, parallel)


# One is enough: copies of a card are drawn one after the other.
@lru_cache(maxsize=1)
def printed(row: ListedCard, parallel: str, serial: str) -> Printed:
    """Print one card; ``parallel`` is empty for the base card and ``serial`` where it has none.

    Every copy of a card is printed alike; the pictures given are shared and are not to be drawn on.
    """
    back, box = printed_back(row, parallel)
    return Printed(_design(row)[0](row, parallel, serial), back, box)
