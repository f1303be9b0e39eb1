"""A harbor behind a player: sky and clouds over hills, water with sails, a mole with its
lighthouse."""

from __future__ import annotations

import random
from typing import TYPE_CHECKING

from PIL import Image, ImageFilter

from tagger.demo.art.brush import (
    Colour,
    Point,
    curve,
    darker,
    fade,
    fill,
    lighter,
    mix,
    oval,
    soft,
)

if TYPE_CHECKING:
    from tagger.demo.people.clubs import Team

_SKIES: tuple[tuple[Colour, Colour], ...] = (
    ((92, 156, 210), (222, 236, 240)),
    ((128, 176, 206), (250, 232, 206)),
    ((86, 134, 178), (246, 206, 172)),
    ((120, 150, 160), (214, 220, 214)),
)
_SAILS: tuple[Colour, ...] = ((250, 246, 236), (206, 84, 62), (236, 196, 110), (240, 240, 244))


def harbor(size: tuple[int, int], rng: random.Random, team: Team) -> Image.Image:
    """The scene, RGB, of a size in pixels."""
    w, h = size
    top, low = rng.choice(_SKIES)
    picture = fade(size, ((0.0, top), (0.55, low), (1.0, low)))
    _clouds(picture, rng)
    line = h * rng.uniform(0.44, 0.52)
    _hills(picture, line, low, rng)
    _water(picture, line, mix((30, 92, 122), top, 0.3), rng)
    for _ in range(rng.randint(2, 4)):
        foot = (rng.uniform(0.04, 0.96) * w, line + rng.uniform(0.0, 0.07) * h)
        _sail(picture, foot, rng.uniform(0.06, 0.13) * h, rng)
    if rng.random() < 0.7:
        # At either edge: in the middle it would grow out of a head.
        foot = (rng.choice((0.1, 0.14, 0.86, 0.9)) * w, line + 0.06 * h)
        _lighthouse(picture, foot, 0.36 * h, team)
    # A little out of focus, as a camera has what stands behind a person.
    return picture.filter(ImageFilter.GaussianBlur(0.0045 * w))


def _clouds(picture: Image.Image, rng: random.Random) -> None:
    w, h = picture.size
    for _ in range(rng.randint(3, 6)):
        x, y, r = rng.uniform(0, w), rng.uniform(0, 0.35 * h), rng.uniform(0.08, 0.2) * w
        for _ in range(5):
            puff = oval(
                (x + rng.uniform(-1, 1) * r, y + rng.uniform(-0.15, 0.2) * r),
                r * rng.uniform(0.4, 0.9),
                r * rng.uniform(0.16, 0.3),
            )
            soft(picture, puff, (255, 252, 246), 0.5, 0.04 * w)


def _hills(picture: Image.Image, line: float, haze: Colour, rng: random.Random) -> None:
    """Two ridges above the waterline, the farther one paler: air lies before it."""
    w, h = picture.size
    for step in range(2):
        ridge = [
            (i * w / 6, line - h * rng.uniform(0.01, 0.09) * (1.4 - step)) for i in range(-1, 8)
        ]
        tone = mix((82, 116, 120), haze, 0.55 - 0.3 * step)
        fill(picture, [(-w, h), *curve(ridge, closed=False), (2 * w, h)], tone)


def _water(picture: Image.Image, line: float, sea: Colour, rng: random.Random) -> None:
    w, h = picture.size
    stops = ((0.0, lighter(sea, 0.35)), (0.4, sea), (1.0, darker(sea, 0.35)))
    picture.paste(fade((w, max(1, h - int(line))), stops), (0, int(line)))
    for _ in range(70):
        # More waves, and flatter ones, the farther away they are.
        y = line + (h - line) * rng.random() ** 1.6
        x, length = rng.uniform(0, w), rng.uniform(0.02, 0.1) * w
        wave = oval((x, y), length, 0.0025 * h + 0.004 * (y - line))
        fill(picture, wave, (*lighter(sea, rng.uniform(0.2, 0.75)), 120))


def _sail(picture: Image.Image, foot: Point, tall: float, rng: random.Random) -> None:
    x, y = foot
    cloth = rng.choice(_SAILS)

    def at(*points: Point) -> list[Point]:
        return [(x + across * tall, y + down * tall) for across, down in points]

    fill(picture, at((0.0, -1.0), (0.42, -0.1), (0.0, -0.08)), cloth)
    fill(picture, at((-0.04, -0.9), (-0.34, -0.1), (-0.04, -0.08)), darker(cloth, 0.15))
    hull = at((-0.4, -0.05), (0.46, -0.05), (0.3, 0.1), (-0.28, 0.1))
    fill(picture, hull, (64, 48, 44))


def _lighthouse(picture: Image.Image, foot: Point, tall: float, team: Team) -> None:
    """A lighthouse on the end of a mole; ``foot`` is the middle of its foot."""
    x, y = foot

    def at(*points: Point) -> list[Point]:
        return [(x + across * tall, y - up * tall) for across, up in points]

    stripes = (mix(team.main, (190, 60, 50), 0.5), (248, 244, 234))
    fill(picture, curve(at((-1.0, -0.12), (-0.3, 0.02), (0.3, 0.02), (1.0, -0.12))), (96, 92, 92))
    for i in range(5):
        low, high = i * 0.16, (i + 1) * 0.16
        left, right = 0.12 - 0.009 * i, 0.12 - 0.009 * (i + 1)
        ring = at((-left, low), (left, low), (right, high), (-right, high))
        fill(picture, ring, stripes[i % 2])
    away = at((0.02, 0.0), (0.12, 0.0), (0.075, 0.8), (0.02, 0.8))
    soft(picture, away, (40, 40, 60), 0.4, 0.03 * tall)
    fill(picture, at((-0.1, 0.8), (0.1, 0.8), (0.1, 0.83), (-0.1, 0.83)), (50, 50, 56))
    fill(picture, at((-0.055, 0.83), (0.055, 0.83), (0.055, 0.94), (-0.055, 0.94)), (255, 236, 160))
    fill(picture, at((-0.08, 0.94), (0.08, 0.94), (0.0, 1.04)), (150, 44, 40))
    glow = oval((x, y - 0.88 * tall), 0.16 * tall, 0.16 * tall)
    soft(picture, glow, (255, 240, 180), 0.6, 0.07 * tall)
