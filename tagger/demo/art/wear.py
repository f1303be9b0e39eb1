"""What printing, cutting and years did to one card: ink, grain, soft corners, creases. Lengths are
pixels."""

from __future__ import annotations

import random
from dataclasses import dataclass
from functools import lru_cache

from PIL import Image, ImageChops, ImageDraw, ImageEnhance, ImageOps

from tagger.demo.art.brush import Point, fill, limb, oval, soft
from tagger.demo.art.foil import grain, roughened

NEAR_MINT, EXCELLENT, VERY_GOOD = "Near Mint", "Excellent", "Very Good"
_PAPER = (238, 232, 220)


@dataclass(frozen=True)
class Flaws:
    """The damage of one card seen from its front.

    ``corners`` are the roundings of the corners in pixels, clockwise from the left upper one;
    ``crease`` is a line across the card, empty for none; ``chips`` is how many specks of paper show
    along the edges."""

    corners: tuple[float, float, float, float]
    crease: tuple[Point, ...]
    chips: int

    def from_behind(self, width: int) -> Flaws:
        """The same damage seen from the back of a card that is ``width`` pixels wide."""
        a, b, c, d = self.corners
        return Flaws((b, a, d, c), tuple((width - x, y) for x, y in self.crease), self.chips)


# By condition: how many corners are soft, and between which radii. Better cards have none.
_SOFT_CORNERS = {EXCELLENT: (2, 16.0, 24.0), VERY_GOOD: (4, 20.0, 36.0)}


def flaws_of(condition: str, size: tuple[int, int], rng: random.Random) -> Flaws:
    """Damage that a dealer would grade as ``condition``."""
    corners = [rng.uniform(2.0, 5.0) for _ in range(4)]
    crease: tuple[Point, ...] = ()
    chips = rng.randint(0, 5)
    if condition in _SOFT_CORNERS:
        chips = rng.randint(16, 30)
        count, least, most = _SOFT_CORNERS[condition]
        for corner in rng.sample(range(4), count):
            corners[corner] = rng.uniform(least, most)
    if condition == VERY_GOOD:
        chips = rng.randint(40, 70)
        crease = _crease(size, rng)
    first, second, third, fourth = corners
    return Flaws((first, second, third, fourth), crease, chips)


def _crease(size: tuple[int, int], rng: random.Random) -> tuple[Point, ...]:
    w, h = size
    x, y = rng.uniform(0.3, 0.55) * w, rng.uniform(0.2, 0.4) * h
    start, end = rng.choice(
        (
            ((0.0, y), (x, 0.0)),
            ((w - x, 0.0), (float(w), y)),
            ((0.0, h - y), (x, float(h))),
            ((w - x, float(h)), (float(w), h - y)),
        )
    )
    pieces = 14
    return tuple(
        (
            start[0] + (end[0] - start[0]) * i / pieces + rng.uniform(-3.0, 3.0),
            start[1] + (end[1] - start[1]) * i / pieces + rng.uniform(-3.0, 3.0),
        )
        for i in range(pieces + 1)
    )


def pressed(picture: Image.Image, rng: random.Random, *, screen: int) -> Image.Image:
    """The side with the small faults of its printing: tint, register, cut, grain and the dots of
    the screen.

    ``screen`` is the strength of the dots, 0 to 40.
    """
    w, h = picture.size
    moved = picture.copy()
    # Cut a little off: the edge that is missing stays as it was below.
    moved.paste(picture, (rng.randint(-4, 4), rng.randint(-5, 5)))
    # One ink out of register, by a pixel: a twelfth of a millimetre.
    if rng.random() < 0.4:
        red, green, blue = moved.split()
        moved = Image.merge("RGB", (ImageChops.offset(red, rng.choice((-1, 1)), 0), green, blue))
    moved = ImageEnhance.Color(moved).enhance(rng.uniform(0.92, 1.06))
    # Paper yellows: with age blue goes first, then green.
    light, age = rng.uniform(0.965, 1.02), rng.random()
    tint = [light * (1.0, 1.0 - 0.025 * age, 1.0 - 0.07 * age)[i // 256] for i in range(768)]
    moved = moved.point([min(255, round(i % 256 * share)) for i, share in enumerate(tint)])
    # Blotches of ink, some sixty pixels wide, and the dots of the screen: one noise for both.
    noise = grain((w // 60, h // 60), rng, 5).resize((w, h), Image.Resampling.BICUBIC)
    if screen:
        noise = ImageChops.add(noise, _screen((w, h), screen), 1.0, -128)
    return roughened(moved, noise)


@lru_cache(maxsize=4)
def _screen(size: tuple[int, int], strength: int) -> Image.Image:
    """The printer's dots: a fine slanted pattern around middle grey."""
    tile = Image.new("L", (10, 10), 128 + strength // 3)
    pen = ImageDraw.Draw(tile)
    for x, y in ((0, 2), (4, 0), (8, 8), (2, 6), (6, 4)):
        pen.rectangle((x, y, x + 1, y + 1), fill=128 - strength)
    pattern = Image.new("L", size)
    for y in range(0, size[1], 10):
        for x in range(0, size[0], 10):
            pattern.paste(tile, (x, y))
    return pattern


def worn(picture: Image.Image, flaws: Flaws, rng: random.Random) -> Image.Image:
    """The side with its damage, as an RGBA picture whose corners are cut as the paper is."""
    w, h = picture.size
    out = picture.copy()
    if flaws.crease:
        _draw_crease(out, flaws.crease)
    for corner, radius in zip(((0, 0), (w, 0), (w, h), (0, h)), flaws.corners, strict=True):
        if radius > 10:
            _fray(out, corner, radius, rng)
    pen = ImageDraw.Draw(out, "RGBA")
    for _ in range(flaws.chips):
        _chip(pen, picture.size, rng)
    # Last: the damage is in the paper, and is cut off where that is.
    out.putalpha(_cut((w, h), flaws.corners, rng))
    return out


def _fray(picture: Image.Image, corner: tuple[int, int], radius: float, rng: random.Random) -> None:
    """A corner whose ink has gone: bare paper with grey around it, and fibres."""
    x, y = corner
    inward = (-1 if x else 1, -1 if y else 1)
    soft(picture, oval(corner, radius * 1.7, radius * 1.7), (112, 100, 86), 0.2, radius * 0.4)
    soft(picture, oval(corner, radius * 0.85, radius * 0.85), _PAPER, 0.85, radius * 0.26)
    for _ in range(16):
        # Along one of the two edges, never out across the corner.
        end = (rng.uniform(0.4, 1.9) * radius, rng.uniform(0.0, 0.35) * radius)
        if rng.random() < 0.5:
            end = end[::-1]
        spot = (x + inward[0] * end[0], y + inward[1] * end[1])
        fill(picture, oval(spot, rng.uniform(1, 3.5), rng.uniform(1, 3.5), 16), (*_PAPER, 120))


def _chip(pen: ImageDraw.ImageDraw, size: tuple[int, int], rng: random.Random) -> None:
    """A speck of paper on one of the edges, longer along it than deep."""
    w, h = size
    share, deep, long = rng.random(), rng.uniform(1, 3.5), rng.uniform(2, 11)
    left, top, wide, tall = rng.choice(
        (
            (share * w, 0.0, long, deep),
            (share * w, h - deep, long, deep),
            (0.0, share * h, deep, long),
            (w - deep, share * h, deep, long),
        )
    )
    pen.ellipse((left - 1, top - 1, left + wide, top + tall), fill=(*_PAPER, 205))


def _draw_crease(picture: Image.Image, crease: tuple[Point, ...]) -> None:
    soft(picture, [*crease, *[(x + 12, y + 12) for x, y in reversed(crease)]], (20, 16, 16), 0.3, 7)
    below = [(x + 2.0, y + 2.0) for x, y in crease]
    for line, width, ink in ((below, 3.6, (40, 32, 30, 130)), (list(crease), 3.2, (*_PAPER, 225))):
        fill(picture, limb(line, [width * (0.6 + 0.4 * (i % 3)) for i in range(len(line))]), ink)


def _cut(size: tuple[int, int], corners: tuple[float, ...], rng: random.Random) -> Image.Image:
    """The mask ("L") of the paper."""
    w, h = size
    mask = Image.new("L", size, 255)
    for i, radius in enumerate(corners):
        span = int(radius) + 4
        tile = _corner(span, radius, rng)
        if i in (1, 2):
            tile = ImageOps.mirror(tile)
        if i in (2, 3):
            tile = ImageOps.flip(tile)
        mask.paste(tile, (w - span if i in (1, 2) else 0, h - span if i in (2, 3) else 0))
    return mask


def _corner(span: int, radius: float, rng: random.Random) -> Image.Image:
    """The mask of a left upper corner, ``span`` pixels wide, rounded unevenly."""
    fine = 4
    tile = Image.new("L", (span * fine, span * fine), 255)
    r = radius * fine
    # From one edge to the other, bent outwards less than a circle: corners wear to a blunt angle.
    edge: list[Point] = []
    for k in range(7):
        t = k / 6
        bow = r * (1 - (1 - (2 * t - 1) ** 2) * 0.62)
        wobble = rng.uniform(-0.05, 0.05) * r
        edge.append(((1 - t) * bow + wobble, t * bow + wobble))
    ImageDraw.Draw(tile).polygon([(-9, r), (-9, -9), (r, -9), *edge], fill=0)
    return tile.reduce(fine)
