"""What stands behind a player: harbors, stands full of people, boat sheds, painted cloth, night
lights.

Every scene is an RGB picture of the size asked for, in pixels, a little out of focus as behind a
person."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Sequence

from PIL import Image, ImageDraw, ImageFilter

from tagger.demo.art.brush import (
    Colour,
    Point,
    darker,
    fade,
    fill,
    lighter,
    limb,
    mix,
    oval,
    soft,
)
from tagger.demo.people.clubs import Team
from tagger.demo.sets.harbors import harbor

_COATS: tuple[Colour, ...] = (
    (212, 206, 196), (92, 96, 110), (156, 72, 64), (64, 84, 110), (186, 160, 116), (52, 52, 60),
)  # fmt: skip
_SKINS: tuple[Colour, ...] = ((236, 196, 162), (206, 156, 118), (128, 86, 62), (244, 212, 186))
_CLOTHS: tuple[Colour, ...] = (
    (98, 116, 138), (138, 116, 92), (92, 122, 112), (160, 148, 116), (118, 100, 120),
    (126, 136, 142),
)  # fmt: skip
_LAMPS: tuple[Colour, ...] = ((255, 226, 150), (255, 190, 110), (190, 220, 255), (255, 246, 220))


def stands(size: tuple[int, int], rng: random.Random, team: Team) -> Image.Image:
    """Rows of people in the stands above a boarded court."""
    w, h = size
    picture = fade(size, ((0.0, (40, 44, 58)), (0.7, (72, 70, 80)), (1.0, (60, 60, 66))))
    coats = (team.main, team.second, team.trim, *_COATS)
    pen = ImageDraw.Draw(picture)
    floor, step = 0.66 * h, w / 15
    # From the rear row on, so that those in front hide those behind.
    for row in range(11):
        for i in range(-1, 17):
            if rng.random() < 0.08:
                continue  # an empty seat
            # Every second row sits between the heads of the one before it.
            x = i * step + (row % 2) * step / 2 + rng.uniform(-0.15, 0.15) * step
            _onlooker(pen, (x, floor * row / 11), 0.26 * step, coats, rng)
    _boards(pen, picture.size, floor, team, rng)
    court = fade((w, int(h - floor - 0.08 * h) + 2), ((0.0, (176, 140, 98)), (1.0, (132, 98, 66))))
    picture.paste(court, (0, int(floor + 0.08 * h)))
    return picture.filter(ImageFilter.GaussianBlur(0.013 * w))


def _onlooker(
    pen: ImageDraw.ImageDraw, head: Point, r: float, coats: Sequence[Colour], rng: random.Random
) -> None:
    (x, y), dusk = head, (50, 50, 60)
    coat, skin = mix(rng.choice(coats), dusk, 0.25), rng.choice(_SKINS)
    pen.ellipse((x - 1.7 * r, y + 1.0 * r, x + 1.7 * r, y + 6 * r), fill=coat)
    pen.ellipse((x - r, y - r, x + r, y + 1.3 * r), fill=mix(skin, dusk, 0.15))
    if rng.random() < 0.6:
        pen.ellipse((x - r, y - 1.2 * r, x + r, y), fill=rng.choice(coats[:5]))


def _boards(
    pen: ImageDraw.ImageDraw, size: tuple[int, int], floor: float, team: Team, rng: random.Random
) -> None:
    """The boards around the court, with a sign now and then."""
    w, h = size
    pen.rectangle((0, floor, w, floor + 0.08 * h), fill=darker(team.main, 0.15))
    for i in range(5):
        x = (i + rng.random()) * w / 5
        sign = (x, floor + 0.018 * h, x + 0.12 * w, floor + 0.062 * h)
        pen.rectangle(sign, fill=mix(team.second, team.main, 0.2))


def shed(size: tuple[int, int], rng: random.Random, team: Team) -> Image.Image:
    """The painted boards of a boat shed with a coil of rope or a ring on the wall."""
    w, h = size
    paints = (team.second, team.main, (108, 132, 130), (168, 92, 70), (210, 196, 168))
    # Half grey: paint in the colours of the shirt would swallow the player.
    paint = mix(rng.choice(paints), (150, 150, 146), 0.45)
    picture = Image.new("RGB", size, paint)
    for i in range(14):
        _plank(picture, i, h / 13, paint, rng)
    centre, r = (rng.choice((0.14, 0.86)) * w, rng.uniform(0.14, 0.26) * h), 0.15 * w
    if rng.random() < 0.5:
        _ring(picture, centre, r)
    else:
        _coil(picture, centre, r)
    away = [(0.62 * w, -h), (2 * w, -h), (2 * w, 2 * h), (0.8 * w, 2 * h)]
    soft(picture, away, darker(paint, 0.8), 0.5, 0.12 * w)
    return picture.filter(ImageFilter.GaussianBlur(0.0055 * w))


def _plank(picture: Image.Image, i: int, step: float, paint: Colour, rng: random.Random) -> None:
    """One board: a dark joint with a light edge below it, and scratches along the grain."""
    w, h = picture.size
    pen = ImageDraw.Draw(picture, "RGBA")
    top, low = i * step, i * step + 0.008 * h
    tone = mix(paint, darker(paint, 0.4), rng.uniform(0, 0.35))
    ImageDraw.Draw(picture).rectangle((0, top, w, (i + 1) * step), fill=tone)
    joint, edge = (*darker(paint, 0.75), 220), (*lighter(paint, 0.5), 120)
    pen.line((0, top, w, top), fill=joint, width=max(1, round(0.006 * h)))
    pen.line((0, low, w, low), fill=edge, width=max(1, round(0.004 * h)))
    for _ in range(5):
        x, y = rng.uniform(0, w), (i + rng.uniform(0.25, 0.9)) * step
        end = (x + rng.uniform(0.1, 0.4) * w, y + rng.uniform(-2, 2))
        pen.line((x, y, *end), fill=(*darker(paint, 0.5), 46), width=2)


def _ring(picture: Image.Image, centre: Point, r: float) -> None:
    """A lifebuoy."""
    x, y = centre
    for k in range(8):
        angles = (k * math.pi / 4 + d * math.pi / 40 for d in range(11))
        arc = [(x + r * math.cos(a), y + r * math.sin(a)) for a in angles]
        tone = ((244, 240, 230), (204, 58, 46))[k % 2]
        fill(picture, limb(arc, [0.3 * r] * len(arc)), tone)


def _coil(picture: Image.Image, centre: Point, r: float) -> None:
    """A coil of rope."""
    x, y = centre
    pen = ImageDraw.Draw(picture, "RGBA")
    for k in range(5):
        ring = oval((x, y + 0.05 * r * k), r * (1 - 0.13 * k), r * (1.15 - 0.13 * k))
        tone = mix((206, 178, 128), (120, 92, 60), (k % 2) * 0.5)
        pen.line([*ring, ring[0]], fill=tone, width=max(2, round(0.1 * r)))


def cloth(size: tuple[int, int], rng: random.Random, team: Team) -> Image.Image:
    """A photographer's painted cloth, light around the shoulders."""
    w, h = size
    base = rng.choice(_CLOTHS)
    picture = fade(size, ((0.0, darker(base, 0.35)), (0.6, base), (1.0, darker(base, 0.3))))
    for _ in range(34):
        spot, tone = (rng.uniform(0, w), rng.uniform(0, h)), _dabbed(base, rng)
        dab = oval(spot, rng.uniform(0.05, 0.22) * w, rng.uniform(0.05, 0.16) * w)
        soft(picture, dab, tone, 0.3, 0.06 * w)
    soft(picture, oval((0.4 * w, 0.42 * h), 0.36 * w, 0.34 * h), lighter(base, 0.5), 0.55, 0.16 * w)
    return picture


def _dabbed(base: Colour, rng: random.Random) -> Colour:
    if rng.random() < 0.5:
        return lighter(base, rng.uniform(0, 0.35))
    return darker(base, rng.uniform(0, 0.3))


def night(size: tuple[int, int], rng: random.Random, team: Team) -> Image.Image:
    """Lamps over a court after dark."""
    w, h = size
    dusk = mix((52, 40, 84), team.main, 0.3)
    stops = ((0.0, (14, 16, 40)), (0.5, dusk), (0.75, (196, 104, 78)), (1.0, (40, 30, 44)))
    picture = fade(size, stops)
    for _ in range(46):
        spot = (rng.uniform(0, w), rng.uniform(0.3, 0.78) * h)
        r = rng.uniform(0.008, 0.035) * w
        fill(picture, oval(spot, r, r), (*rng.choice(_LAMPS), rng.randint(50, 150)))
    for x in (0.12, 0.88):
        _floodlight(picture, x)
    return picture.filter(ImageFilter.GaussianBlur(0.006 * w))


def _floodlight(picture: Image.Image, x: float) -> None:
    """Six lamps on a mast and the glow around them; ``x`` is a share of the width."""
    w, h = picture.size
    for i in range(3):
        for k in range(2):
            spot = ((x + 0.05 * (i - 1)) * w, (0.08 + 0.045 * k) * h)
            soft(picture, oval(spot, 0.02 * w, 0.02 * w), (255, 252, 236), 1.0, 0.012 * w)
    soft(picture, oval((x * w, 0.1 * h), 0.16 * w, 0.12 * h), (210, 226, 255), 0.45, 0.08 * w)


Scene = Callable[[tuple[int, int], random.Random, Team], Image.Image]
SCENES: tuple[Scene, ...] = (harbor, stands, shed, cloth, night)
