"""What a design is, and a deck of its cards."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources

from PIL import Image

WIDE, HIGH = 600, 840  # pixels of a drawn side: 240 dots per inch on a card of 63.5 x 88.9 mm

Draw = Callable[[random.Random, random.Random], Image.Image]
"""Draws one side: by a generator that is the same for all cards of the deck, and by the card's own.
"""


@dataclass(frozen=True)
class Design:
    """How the cards of a set look. `top`: both sides have one, so that upside down can be seen;
    `border`: the front has a printed border of one colour all round, of even width; `lying`: drawn
    to be read with the long side down."""

    name: str
    front: Draw
    back: Draw
    top: bool = True
    border: bool = False
    lying: bool = False


@dataclass(frozen=True)
class Deck:
    """A set of one design: another seed is another set of the same style."""

    design: Design
    seed: str

    def side(self, number: int, side: str) -> Image.Image:
        """One side (`front` or `back`) of the card with this number, WIDE x HIGH, RGB."""
        return _drawn(self, number, side)


@lru_cache(maxsize=256)
def _drawn(deck: Deck, number: int, side: str) -> Image.Image:
    draw = deck.design.front if side == "front" else deck.design.back
    name = f"{deck.design.name} {deck.seed}"
    picture = draw(random.Random(f"{name} {side}"), random.Random(f"{name} {number} {side}"))
    if picture.width > picture.height:
        picture = picture.transpose(Image.Transpose.ROTATE_90)
    return picture.resize((WIDE, HIGH), Image.Resampling.BICUBIC)


@lru_cache(maxsize=16)
def photograph(name: str) -> Image.Image:
    """A natural picture out of the wheel of scikit-image (BSD-3-Clause; its data folder names the
    sources)."""
    with Image.open(str(resources.files("skimage") / "data" / name)) as picture:
        return picture.convert("RGB")


def cutting(rng: random.Random, names: tuple[str, ...], size: tuple[int, int]) -> Image.Image:
    """A part of one of these photographs, in this size."""
    whole = photograph(rng.choice(names))
    part = rng.uniform(0.45, 0.95) * min(whole.width / size[0], whole.height / size[1])
    wide, high = size[0] * part, size[1] * part
    x, y = rng.uniform(0, whole.width - wide), rng.uniform(0, whole.height - high)
    return whole.resize(size, Image.Resampling.BILINEAR, box=(x, y, x + wide, y + high))
