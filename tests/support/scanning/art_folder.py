"""Designs out of a folder of pictures: decks that nobody here drew. Each folder in it is a deck,
its pictures the fronts; one called `back` is the back of all, else each card has a drawn one."""

from __future__ import annotations

import random
from functools import partial
from pathlib import Path

from PIL import Image

from support.scanning.art_held_late import contour_back, woven_back
from support.scanning.cards import HIGH, WIDE, Design, Draw

ENDINGS = (".jpg", ".jpeg", ".png")


def designs_in(folder: Path) -> tuple[Design, ...]:
    """A design for each deck in a folder. That a deck has a top is assumed."""
    out: list[Design] = []
    for deck in sorted(path for path in folder.iterdir() if path.is_dir()):
        found = sorted(path for path in deck.iterdir() if path.suffix.lower() in ENDINGS)
        backs = [path for path in found if path.stem == "back"]
        front = partial(_any_of, tuple(path for path in found if path not in backs))
        drawn: Draw = (woven_back, contour_back)[len(out) % 2]
        back = partial(_any_of, tuple(backs)) if backs else drawn
        out.append(Design(deck.name, front, back))
    return tuple(out)


def _any_of(paths: tuple[Path, ...], deck: random.Random, own: random.Random) -> Image.Image:
    with Image.open(own.choice(paths)) as picture:
        seen = picture.convert("RGBA").resize((WIDE, HIGH), Image.Resampling.BICUBIC)
    paper = Image.new("RGBA", seen.size, (250, 250, 248))
    return Image.alpha_composite(paper, seen).convert("RGB")
