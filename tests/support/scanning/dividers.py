"""Dividers as an office printer prints them and a hand cuts them, before they are scanned. What the
reading was tuned on and what is held out are printed by different printers."""

from __future__ import annotations

import math
import random
from collections.abc import Callable

import numpy as np
from PIL import Image, ImageFilter

from tagger.core.dividers.divider import BLANK, Divider
from tagger.exchange.shown.divider_faces import faces
from tagger.exchange.shown.divider_pages import drawn_page
from tagger.exchange.shown.label_grids import CARD

DPI = 300
YEARS, PLACES = range(1979, 2024), ("Harbor Light", "Mill Pond", "Stone Bridge", "North Quay Ferry")
PARALLELS = ("", "Gold", "Silver Foil", "Red Wave Refractor", "base")
CONDITIONS = ("", "Near Mint", "Excellent")
Print = Callable[[Image.Image, random.Random], Image.Image]


def any_divider(rng: random.Random) -> Divider:
    """Some divider, a blank one now and then."""
    if rng.random() < 0.1:
        return Divider(kind=rng.choice(BLANK))
    series = rng.choice(("", " Series One", " Update and Traded"))
    place = rng.choice(("", f"box {rng.randrange(99)}", f"box {rng.randrange(99)}, row 3"))
    return Divider(
        f"{rng.choice(YEARS)} {rng.choice(PLACES)}{series}",
        rng.choice(PARALLELS),
        rng.choice(CONDITIONS),
        place,
    )


def sides(divider: Divider) -> list[Image.Image]:
    """Its front and back as they are meant, grey."""
    return [drawn_page(side, CARD, DPI) for side in faces(divider)]


def clean(side: Image.Image, rng: random.Random) -> Image.Image:
    """A good print on white paper, cut a little off its marks."""
    return _on_paper(_cut(side, rng, 0.5), rng, (0, 20), (240, 252))


# To tune on


def low_ink(side: Image.Image, rng: random.Random) -> Image.Image:
    """Pale ink with missing rows, as a printer's clogged head makes it, and curled."""
    ink = np.asarray(_cut(side, rng, 1.0), np.float32)
    rows = np.ones(ink.shape[0], np.float32)
    for _ in range(rng.randint(3, 12)):
        at = rng.randrange(len(rows))
        rows[at : at + rng.randint(1, 3)] = rng.uniform(0.0, 0.4)
    faded = 255 - (255 - ink) * rows[:, None]
    pale = Image.fromarray(faded.astype(np.uint8)).filter(ImageFilter.GaussianBlur(0.6))
    return _curled(_on_paper(pale, rng, (60, 125), (225, 248)), rng, 5.0)


# Held out


def worn_toner(side: Image.Image, rng: random.Random) -> Image.Image:
    """Toner that spread or flaked off, a streak of the drum along the page, and a bent corner."""
    side = _cut(side, rng, 1.0)
    side = side.filter(rng.choice((ImageFilter.MinFilter(3), ImageFilter.MedianFilter(3))))
    ink = 255 - np.asarray(side, np.float32)
    noise = np.random.default_rng(rng.randrange(2**32))
    coarse = noise.random((ink.shape[0] // 3 + 1, ink.shape[1] // 3 + 1)) < rng.uniform(0.01, 0.06)
    ink[np.kron(coarse, np.ones((3, 3), bool))[: ink.shape[0], : ink.shape[1]]] *= 0.25
    for _ in range(rng.randint(0, 3)):
        x, wide = rng.randrange(ink.shape[1]), rng.randint(1, 4)
        ink[:, x : x + wide] = ink[:, x : x + wide] * 0.5 + rng.choice((0.0, 70.0))
    worn = Image.fromarray((255 - ink).clip(0, 255).astype(np.uint8))
    return _curled(_on_paper(worn, rng, (35, 110), (215, 245)), rng, 8.0)


def _cut(side: Image.Image, rng: random.Random, most: float) -> Image.Image:
    """Cut by hand, so many mm off at most."""
    off = [round(rng.uniform(-most, most) / 25.4 * DPI) for _ in range(2)]
    return side.transform(
        side.size, Image.Transform.AFFINE, (1, 0, off[0], 0, 1, off[1]), fillcolor=255
    )


def _on_paper(
    side: Image.Image, rng: random.Random, ink: tuple[int, int], paper: tuple[int, int]
) -> Image.Image:
    dark, light = rng.uniform(*ink), rng.uniform(*paper)
    tint = [rng.uniform(-4, 4) for _ in range(3)]
    levels = np.asarray(side, np.float32)[..., None] / 255 * (light - dark) + dark + tint
    return Image.fromarray(levels.clip(0, 255).astype(np.uint8))


def _curled(side: Image.Image, rng: random.Random, most: float) -> Image.Image:
    """Paper that does not lie flat: rows and columns a little nearer here and there, by so many
    pixels at most."""
    wide, high = side.size
    bend, phase = rng.uniform(0, most), rng.uniform(0, 2 * math.pi)
    lean, step = rng.uniform(0, most / 2), 50

    def moved(x: float, y: float) -> tuple[float, float]:
        along = math.sin(2 * math.pi * y / high * 0.8 + phase)
        return x + lean * along, y + bend * math.sin(2 * math.pi * x / wide * 0.7 + phase)

    mesh = []
    for top in range(0, high, step):
        for left in range(0, wide, step):
            box = (left, top, min(left + step, wide), min(top + step, high))
            corners = ((box[0], box[1]), (box[0], box[3]), (box[2], box[3]), (box[2], box[1]))
            mesh.append((box, tuple(at for corner in corners for at in moved(*corner))))
    return side.transform(side.size, Image.Transform.MESH, mesh, Image.Resampling.BICUBIC)
