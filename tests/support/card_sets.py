"""Whole sets of cards for tests of what scans have in common: each set has a design for its fronts
and one for backs.

Cards are drawn a third as fine as they are scanned and are `copied` with the small differences that
two copies and two passes of a scanner have. Nothing here comes from the measuring."""

from __future__ import annotations

import random
from dataclasses import dataclass

import numpy as np
from PIL import Image, ImageDraw, ImageEnhance

from support.card_art import Colour, _name, _some, _text, natural, paper

SIZE = (250, 350)
_TEXT = (
    "gulls",
    "hauled",
    "tows",
    "buoys",
    "stoker",
    "light",
    "season",
    "quay",
    "cork",
    "won",
    "the",
    "of",
    "in",
    "a",
)


@dataclass(frozen=True)
class Drawn:
    """A card of a set: its two sides, 250 x 350 pixels."""

    front: Image.Image
    back: Image.Image


def card_set(seed: str, cards: int, collection: str) -> list[Drawn]:
    """So many cards of one design."""
    rng = random.Random(f"{collection} {seed}")
    front, back = _front_design(rng), _back_design(rng)
    return [Drawn(_front(front, rng, collection), _back(back, rng)) for _ in range(cards)]


@dataclass(frozen=True)
class _FrontDesign:
    edge: Colour
    border: int
    bar: tuple[int, int]
    bar_ink: Colour
    badge: tuple[int, int, int, int]
    badge_ink: Colour


def _front_design(rng: random.Random) -> _FrontDesign:
    bleed = rng.random() < 0.3
    top = rng.choice((rng.randint(12, 30), rng.randint(280, 310)))
    x, y = rng.choice((20, 190)), rng.choice((20, 250))
    return _FrontDesign(
        paper(rng) if rng.random() < 0.6 else _some(rng, 20, 230),
        0 if bleed else rng.randint(9, 22),
        (top, rng.randint(18, 40)),
        _some(rng, 20, 235),
        (x, y, x + rng.randint(25, 45), y + rng.randint(25, 45)),
        _some(rng, 20, 235),
    )


def _front(design: _FrontDesign, rng: random.Random, collection: str) -> Image.Image:
    side = Image.new("RGB", SIZE, design.edge)
    b = design.border
    side.paste(natural(rng, (SIZE[0] - 2 * b, SIZE[1] - 2 * b), collection), (b, b))
    pen = ImageDraw.Draw(side)
    pen.rectangle(
        (b, design.bar[0], SIZE[0] - b, design.bar[0] + design.bar[1]), fill=design.bar_ink
    )
    _text(pen, (b + 15, design.bar[0] + 3), _name(rng), 16, (250, 250, 245))
    pen.ellipse(design.badge, fill=design.badge_ink)
    return side


@dataclass(frozen=True)
class _BackDesign:
    paper: Colour
    ink: Colour
    head: tuple[int, int, int, int]
    head_ink: Colour
    first: int
    step: int
    columns: bool
    box: tuple[int, int, int, int]


def _back_design(rng: random.Random) -> _BackDesign:
    top = rng.choice((12, 12, 290))
    return _BackDesign(
        paper(rng) if rng.random() < 0.6 else _some(rng, 150, 235),
        _some(rng, 0, 90),
        (12, top, rng.randint(150, 238), top + rng.randint(24, 50)),
        _some(rng, 30, 200),
        70 if top == 12 else 20,
        rng.randint(10, 14),
        rng.random() < 0.5,
        (rng.randint(12, 120), rng.randint(230, 250), 238, rng.randint(262, 282)),
    )


def _back(design: _BackDesign, rng: random.Random) -> Image.Image:
    side = Image.new("RGB", SIZE, design.paper)
    pen = ImageDraw.Draw(side)
    pen.rectangle(design.head, fill=design.head_ink)
    _text(
        pen,
        (design.head[0] + 6, design.head[1] + 5),
        f"{rng.randint(1, 700)} {_name(rng)}",
        13,
        (250, 250, 244),
    )
    lines = rng.randint(5, 12)
    for line in range(lines):
        y = design.first + line * design.step
        if design.columns:
            for x in range(14, 236, 37):
                _text(pen, (x, y), str(rng.randint(1, 999)), 9, design.ink)
        else:
            _text(
                pen,
                (14, y),
                " ".join(rng.choice(_TEXT) for _ in range(rng.randint(5, 9)))[:44],
                9,
                design.ink,
            )
    pen.rectangle(design.box, outline=design.ink, width=2)
    _text(
        pen,
        (design.box[0] + 5, design.box[1] + 8),
        " ".join(rng.choice(_TEXT) for _ in range(3)),
        9,
        design.ink,
    )
    return side


def copied(side: Image.Image, rng: random.Random, *, upside_down: bool = False) -> Image.Image:
    """A scan of another copy of a side: printed and cut a little differently, lighter or darker,
    with grain."""
    return passed(cut(side, rng), rng, upside_down=upside_down)


def cut(side: Image.Image, rng: random.Random) -> Image.Image:
    """One copy of a side: where the print lies on the card differs by a third of a millimetre or
    so."""
    dx, dy = rng.gauss(0, 1.2), rng.gauss(0, 1.2)
    angle = rng.gauss(0, 0.12)
    ground = side.getpixel((2, 2))
    return side.rotate(
        angle, Image.Resampling.BILINEAR, translate=(round(dx), round(dy)), fillcolor=ground
    )


def passed(copy: Image.Image, rng: random.Random, *, upside_down: bool = False) -> Image.Image:
    """One pass of a copy through the scanner: lighter or darker, with grain, the crop off by 0.1 mm
    or so."""
    reach = (rng.gauss(0, 0.4), rng.gauss(0, 0.4))
    box = (
        max(0.0, reach[0]),
        max(0.0, reach[1]),
        SIZE[0] + min(0.0, reach[0]),
        SIZE[1] + min(0.0, reach[1]),
    )
    moved = copy.resize(SIZE, Image.Resampling.BILINEAR, box=box)
    lit = ImageEnhance.Brightness(moved).enhance(rng.uniform(0.95, 1.03))
    grain = np.random.default_rng(rng.randrange(2**32)).standard_normal(
        (SIZE[1], SIZE[0], 1), dtype=np.float32
    )
    out = Image.fromarray(
        np.clip(np.asarray(lit, dtype=np.float32) + grain * 1.2, 0, 255).astype(np.uint8)
    )
    return out.transpose(Image.Transpose.ROTATE_180) if upside_down else out
