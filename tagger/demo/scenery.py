"""What stands behind a player: harbors, stands full of people, boat sheds, painted cloth, night
lights.

Every scene is an RGB picture of the size asked for, in pixels, a little out of focus as behind a
person."""

from __future__ import annotations

import math
import random
from collections.abc import Callable

from PIL import Image, ImageDraw, ImageFilter

from tagger.demo.brush import (
    Colour,
    Point,
    curve,
    darker,
    fade,
    fill,
    lighter,
    limb,
    mix,
    oval,
    soft,
)
from tagger.demo.scenario import Team

_SKIES: tuple[tuple[Colour, Colour], ...] = (
    ((92, 156, 210), (222, 236, 240)),
    ((128, 176, 206), (250, 232, 206)),
    ((86, 134, 178), (246, 206, 172)),
    ((120, 150, 160), (214, 220, 214)),
)


def harbor(size: tuple[int, int], rng: random.Random, team: Team) -> Image.Image:
    """Sky and clouds over hills, water with sails, a mole with its lighthouse."""
    w, h = size
    top, low = rng.choice(_SKIES)
    picture = fade(size, ((0.0, top), (0.55, low), (1.0, low)))
    for _ in range(rng.randint(3, 6)):
        x, y, r = rng.uniform(0, w), rng.uniform(0, 0.35 * h), rng.uniform(0.08, 0.2) * w
        for _ in range(5):
            puff = oval(
                (x + rng.uniform(-1, 1) * r, y + rng.uniform(-0.15, 0.2) * r),
                r * rng.uniform(0.4, 0.9),
                r * rng.uniform(0.16, 0.3),
            )
            soft(picture, puff, (255, 252, 246), 0.5, 0.04 * w)
    line = h * rng.uniform(0.44, 0.52)
    for step in range(2):
        ridge = [
            (i * w / 6, line - h * rng.uniform(0.01, 0.09) * (1.4 - step)) for i in range(-1, 8)
        ]
        fill(
            picture,
            [(-w, h), *curve(ridge, closed=False), (2 * w, h)],
            mix((82, 116, 120), low, 0.55 - 0.3 * step),
        )
    sea = mix((30, 92, 122), top, 0.3)
    water = fade(
        (w, max(1, h - int(line))),
        ((0.0, lighter(sea, 0.35)), (0.4, sea), (1.0, darker(sea, 0.35))),
    )
    picture.paste(water, (0, int(line)))
    for _ in range(70):
        y = line + (h - line) * rng.random() ** 1.6
        x, length = rng.uniform(0, w), rng.uniform(0.02, 0.1) * w
        fill(
            picture,
            oval((x, y), length, 0.0025 * h + 0.004 * (y - line)),
            (*lighter(sea, rng.uniform(0.2, 0.75)), 120),
        )
    for _ in range(rng.randint(2, 4)):
        _sail(
            picture,
            rng.uniform(0.04, 0.96) * w,
            line + rng.uniform(0.0, 0.07) * h,
            rng.uniform(0.06, 0.13) * h,
            rng,
        )
    if rng.random() < 0.7:
        _lighthouse(
            picture, rng.choice((0.1, 0.14, 0.86, 0.9)) * w, line + 0.06 * h, 0.36 * h, team
        )
    return picture.filter(ImageFilter.GaussianBlur(0.0045 * w))


def _sail(picture: Image.Image, x: float, y: float, tall: float, rng: random.Random) -> None:
    cloth = rng.choice(((250, 246, 236), (206, 84, 62), (236, 196, 110), (240, 240, 244)))
    fill(picture, [(x, y - tall), (x + 0.42 * tall, y - 0.1 * tall), (x, y - 0.08 * tall)], cloth)
    fill(
        picture,
        [
            (x - 0.04 * tall, y - 0.9 * tall),
            (x - 0.34 * tall, y - 0.1 * tall),
            (x - 0.04 * tall, y - 0.08 * tall),
        ],
        darker(cloth, 0.15),
    )
    fill(
        picture,
        [
            (x - 0.4 * tall, y - 0.05 * tall),
            (x + 0.46 * tall, y - 0.05 * tall),
            (x + 0.3 * tall, y + 0.1 * tall),
            (x - 0.28 * tall, y + 0.1 * tall),
        ],
        (64, 48, 44),
    )


def _lighthouse(picture: Image.Image, x: float, y: float, tall: float, team: Team) -> None:
    """A lighthouse on the end of a mole; ``x`` and ``y`` are the middle of its foot."""

    def at(*points: Point) -> list[Point]:
        return [(x + across * tall, y - up * tall) for across, up in points]

    fill(picture, curve(at((-1.0, -0.12), (-0.3, 0.02), (0.3, 0.02), (1.0, -0.12))), (96, 92, 92))
    for i in range(5):
        low, high = i * 0.16, (i + 1) * 0.16
        left, right = 0.12 - 0.009 * i, 0.12 - 0.009 * (i + 1)
        stripe = (248, 244, 234) if i % 2 else mix(team.main, (190, 60, 50), 0.5)
        fill(picture, at((-left, low), (left, low), (right, high), (-right, high)), stripe)
    soft(
        picture,
        at((0.02, 0.0), (0.12, 0.0), (0.075, 0.8), (0.02, 0.8)),
        (40, 40, 60),
        0.4,
        0.03 * tall,
    )
    fill(picture, at((-0.1, 0.8), (0.1, 0.8), (0.1, 0.83), (-0.1, 0.83)), (50, 50, 56))
    fill(picture, at((-0.055, 0.83), (0.055, 0.83), (0.055, 0.94), (-0.055, 0.94)), (255, 236, 160))
    fill(picture, at((-0.08, 0.94), (0.08, 0.94), (0.0, 1.04)), (150, 44, 40))
    soft(
        picture,
        oval((x, y - 0.88 * tall), 0.16 * tall, 0.16 * tall),
        (255, 240, 180),
        0.6,
        0.07 * tall,
    )


def stands(size: tuple[int, int], rng: random.Random, team: Team) -> Image.Image:
    """Rows of people in the stands above a boarded court."""
    w, h = size
    picture = fade(size, ((0.0, (40, 44, 58)), (0.7, (72, 70, 80)), (1.0, (60, 60, 66))))
    coats = [
        team.main,
        team.second,
        team.trim,
        (212, 206, 196),
        (92, 96, 110),
        (156, 72, 64),
        (64, 84, 110),
        (186, 160, 116),
        (52, 52, 60),
    ]
    skins: tuple[Colour, ...] = ((236, 196, 162), (206, 156, 118), (128, 86, 62), (244, 212, 186))
    pen = ImageDraw.Draw(picture)
    rows, floor = 11, 0.66 * h
    for row in range(rows):
        y = floor * row / rows
        step = w / 15
        for i in range(-1, 17):
            if rng.random() < 0.08:
                continue
            x = i * step + (row % 2) * step / 2 + rng.uniform(-0.15, 0.15) * step
            r = 0.26 * step
            pen.ellipse(
                (x - 1.7 * r, y + 1.0 * r, x + 1.7 * r, y + 6 * r),
                fill=mix(rng.choice(coats), (50, 50, 60), 0.25),
            )
            pen.ellipse(
                (x - r, y - r, x + r, y + 1.3 * r), fill=mix(rng.choice(skins), (50, 50, 60), 0.15)
            )
            if rng.random() < 0.6:
                pen.ellipse((x - r, y - 1.2 * r, x + r, y), fill=rng.choice(coats[:5]))
    pen.rectangle((0, floor, w, floor + 0.08 * h), fill=darker(team.main, 0.15))
    for i in range(5):
        x = (i + rng.random()) * w / 5
        pen.rectangle(
            (x, floor + 0.018 * h, x + 0.12 * w, floor + 0.062 * h),
            fill=mix(team.second, team.main, 0.2),
        )
    court = fade((w, int(h - floor - 0.08 * h) + 2), ((0.0, (176, 140, 98)), (1.0, (132, 98, 66))))
    picture.paste(court, (0, int(floor + 0.08 * h)))
    return picture.filter(ImageFilter.GaussianBlur(0.013 * w))


def shed(size: tuple[int, int], rng: random.Random, team: Team) -> Image.Image:
    """The painted boards of a boat shed with a coil of rope or a ring on the wall."""
    w, h = size
    paint = mix(
        rng.choice((team.second, team.main, (108, 132, 130), (168, 92, 70), (210, 196, 168))),
        (150, 150, 146),
        0.45,
    )
    picture = Image.new("RGB", size, paint)
    pen = ImageDraw.Draw(picture, "RGBA")
    step = h / 13
    for i in range(14):
        tone = mix(paint, darker(paint, 0.4), rng.uniform(0, 0.35))
        ImageDraw.Draw(picture).rectangle((0, i * step, w, (i + 1) * step), fill=tone)
        pen.line(
            (0, i * step, w, i * step),
            fill=(*darker(paint, 0.75), 220),
            width=max(1, round(0.006 * h)),
        )
        pen.line(
            (0, i * step + 0.008 * h, w, i * step + 0.008 * h),
            fill=(*lighter(paint, 0.5), 120),
            width=max(1, round(0.004 * h)),
        )
        for _ in range(5):
            x, y = rng.uniform(0, w), (i + rng.uniform(0.25, 0.9)) * step
            pen.line(
                (x, y, x + rng.uniform(0.1, 0.4) * w, y + rng.uniform(-2, 2)),
                fill=(*darker(paint, 0.5), 46),
                width=2,
            )
    x, y, r = rng.choice((0.14, 0.86)) * w, rng.uniform(0.14, 0.26) * h, 0.15 * w
    if rng.random() < 0.5:
        for k in range(8):
            arc = [
                (x + r * math.cos(a), y + r * math.sin(a))
                for a in (k * math.pi / 4 + d * math.pi / 40 for d in range(11))
            ]
            fill(
                picture,
                limb(arc, [0.3 * r] * len(arc)),
                (204, 58, 46) if k % 2 else (244, 240, 230),
            )
    else:
        for k in range(5):
            ring = oval((x, y + 0.05 * r * k), r * (1 - 0.13 * k), r * (1.15 - 0.13 * k))
            pen.line(
                [*ring, ring[0]],
                fill=mix((206, 178, 128), (120, 92, 60), (k % 2) * 0.5),
                width=max(2, round(0.1 * r)),
            )
    soft(
        picture,
        [(0.62 * w, -h), (2 * w, -h), (2 * w, 2 * h), (0.8 * w, 2 * h)],
        darker(paint, 0.8),
        0.5,
        0.12 * w,
    )
    return picture.filter(ImageFilter.GaussianBlur(0.0055 * w))


def cloth(size: tuple[int, int], rng: random.Random, team: Team) -> Image.Image:
    """A photographer's painted cloth, light around the shoulders."""
    w, h = size
    base = rng.choice(
        (
            (98, 116, 138),
            (138, 116, 92),
            (92, 122, 112),
            (160, 148, 116),
            (118, 100, 120),
            (126, 136, 142),
        )
    )
    picture = fade(size, ((0.0, darker(base, 0.35)), (0.6, base), (1.0, darker(base, 0.3))))
    for _ in range(34):
        spot = (rng.uniform(0, w), rng.uniform(0, h))
        tone = (
            lighter(base, rng.uniform(0, 0.35))
            if rng.random() < 0.5
            else darker(base, rng.uniform(0, 0.3))
        )
        soft(
            picture,
            oval(spot, rng.uniform(0.05, 0.22) * w, rng.uniform(0.05, 0.16) * w),
            tone,
            0.3,
            0.06 * w,
        )
    soft(picture, oval((0.4 * w, 0.42 * h), 0.36 * w, 0.34 * h), lighter(base, 0.5), 0.55, 0.16 * w)
    return picture


def night(size: tuple[int, int], rng: random.Random, team: Team) -> Image.Image:
    """Lamps over a court after dark."""
    w, h = size
    picture = fade(
        size,
        (
            (0.0, (14, 16, 40)),
            (0.5, mix((52, 40, 84), team.main, 0.3)),
            (0.75, (196, 104, 78)),
            (1.0, (40, 30, 44)),
        ),
    )
    for _ in range(46):
        spot = (rng.uniform(0, w), rng.uniform(0.3, 0.78) * h)
        r = rng.uniform(0.008, 0.035) * w
        colour = rng.choice(((255, 226, 150), (255, 190, 110), (190, 220, 255), (255, 246, 220)))
        fill(picture, oval(spot, r, r), (*colour, rng.randint(50, 150)))
    for x in (0.12, 0.88):
        for i in range(3):
            for k in range(2):
                soft(
                    picture,
                    oval(((x + 0.05 * (i - 1)) * w, (0.08 + 0.045 * k) * h), 0.02 * w, 0.02 * w),
                    (255, 252, 236),
                    1.0,
                    0.012 * w,
                )
        soft(picture, oval((x * w, 0.1 * h), 0.16 * w, 0.12 * h), (210, 226, 255), 0.45, 0.08 * w)
    return picture.filter(ImageFilter.GaussianBlur(0.006 * w))


Scene = Callable[[tuple[int, int], random.Random, Team], Image.Image]
SCENES: tuple[Scene, ...] = (harbor, stands, shed, cloth, night)
