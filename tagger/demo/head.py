"""A head: face, hair, beard and hat, painted in soft shapes.

Places are in the units of `tagger.demo.stand.Stand`.
"""

from __future__ import annotations

import random

from PIL import Image

from tagger.demo.brush import (
    Colour,
    Point,
    curve,
    darker,
    fill,
    lighter,
    limb,
    mix,
    oval,
    soft,
    stencil,
)
from tagger.demo.hair import draw_beard, draw_hair, draw_moustache
from tagger.demo.hats import draw_glasses, draw_hat
from tagger.demo.looks import Features
from tagger.demo.scenario import Team
from tagger.demo.stand import Bearing, mirrored


def draw_head(
    picture: Image.Image, stand: Bearing, looks: Features, team: Team, hat: str, rng: random.Random
) -> None:
    """Paint a head on an RGB picture. ``hat`` is "", "knit", "peak" or "band"."""
    u, skin = stand.unit, looks.skin
    for side in (-1, 1):
        ear = [(side * 0.72, -0.16), (side * 0.88, -0.2), (side * 0.88, 0.08), (side * 0.72, 0.22)]
        shape = curve(stand.line([(x - stand.turn * 0.16, y) for x, y in ear]))
        fill(picture, shape, darker(skin, 0.08 if side < 0 else 0.25))
        soft(
            picture,
            oval(stand.at(side * 0.79 - stand.turn * 0.16, 0.0), 0.05 * u, 0.1 * u),
            darker(skin, 0.5),
            0.6,
            0.04 * u,
        )
    skull = _skull(looks, stand)
    fill(picture, skull, skin)
    clip = stencil(picture.size, skull)
    _face_light(picture, stand, looks, clip)
    if looks.beard in ("stubble", "full"):
        draw_beard(picture, stand, looks, clip)
    _features(picture, stand, looks, rng)
    if looks.beard == "moustache" or looks.beard == "full":
        draw_moustache(picture, stand, looks)
    draw_hair(picture, stand, looks, bool(hat) and hat != "band", rng)
    if looks.glasses:
        draw_glasses(picture, stand)
    draw_hat(picture, stand, team, looks, hat)


def _skull(looks: Features, stand: Bearing) -> list[Point]:
    jaw, wide = looks.jaw, looks.breadth
    half = [(0.0, -1.0), (0.44, -0.92), (0.7, -0.58), (0.745, -0.12), (0.7, 0.28)]
    half += [(0.56 * jaw, 0.66), (0.3 * jaw, 0.93), (0.0, 1.0)]
    moved = [(x * wide + stand.turn * 0.09 * max(0.0, y), y) for x, y in mirrored(half)]
    return curve(stand.line(moved))


def _face_light(picture: Image.Image, stand: Bearing, looks: Features, clip: Image.Image) -> None:
    u, skin = stand.unit, looks.skin
    shade = mix(darker(skin, 0.42), (120, 40, 40), 0.16)
    side = [
        (0.5, -1.1),
        (0.36, -0.3),
        (0.46, 0.2),
        (0.28, 0.7),
        (0.1, 1.1),
        (1.1, 1.1),
        (1.1, -1.1),
    ]
    soft(
        picture,
        stand.line([(x + 0.1 * stand.turn, y) for x, y in side]),
        shade,
        0.66,
        0.12 * u,
        clip,
    )
    soft(
        picture,
        stand.line([(-0.6, 0.92), (0.0, 0.8), (0.6, 0.92), (0.6, 1.2), (-0.6, 1.2)]),
        shade,
        0.55,
        0.09 * u,
        clip,
    )
    soft(
        picture,
        stand.line([(-0.9, -1.1), (0.9, -1.1), (0.75, -0.55), (-0.75, -0.55)]),
        shade,
        0.4,
        0.12 * u,
        clip,
    )
    soft(
        picture,
        oval(stand.face(-0.28, -0.42), 0.28 * u, 0.15 * u),
        lighter(skin, 0.55),
        0.5,
        0.1 * u,
        clip,
    )
    soft(
        picture,
        oval(stand.face(-0.42, 0.22), 0.16 * u, 0.14 * u),
        lighter(skin, 0.45),
        0.45,
        0.08 * u,
        clip,
    )
    blush = mix(skin, (206, 70, 60), 0.42)
    for x in (-0.42, 0.42):
        soft(picture, oval(stand.face(x, 0.34), 0.18 * u, 0.15 * u), blush, 0.5, 0.09 * u, clip)
        soft(
            picture, oval(stand.face(x * 0.74, -0.1), 0.2 * u, 0.11 * u), shade, 0.5, 0.06 * u, clip
        )


def _features(picture: Image.Image, stand: Bearing, looks: Features, rng: random.Random) -> None:
    u, skin = stand.unit, looks.skin
    dark = darker(skin, 0.68)
    for side in (-1, 1):
        _eye(picture, stand, looks, side)
        brow = [stand.face(side * x, y) for x, y in ((0.15, -0.27), (0.32, -0.345), (0.5, -0.25))]
        weight = 0.075 * looks.brow * u
        fill(picture, limb(brow, (weight, weight, weight * 0.3)), darker(looks.hair, 0.2))
    nose = [(0.04, -0.16), (0.1, 0.1), (0.17, 0.26), (0.1, 0.33), (0.02, 0.3)]
    soft(
        picture,
        [stand.face(x + 0.04 * stand.turn, y) for x, y in nose],
        darker(skin, 0.4),
        0.62,
        0.035 * u,
    )
    soft(
        picture,
        oval(stand.face(-0.03 + 0.05 * stand.turn, 0.22), 0.05 * u, 0.06 * u),
        lighter(skin, 0.6),
        0.65,
        0.03 * u,
    )
    under = [
        stand.face(x + 0.05 * stand.turn, y)
        for x, y in ((-0.15, 0.28), (-0.08, 0.335), (0.0, 0.31), (0.08, 0.335), (0.15, 0.28))
    ]
    fill(
        picture,
        limb(curve(under, closed=False), (0.02 * u, 0.045 * u, 0.02 * u)),
        darker(skin, 0.55),
    )
    _mouth(picture, stand, looks, rng.random() < 0.5, dark)


def _eye(picture: Image.Image, stand: Bearing, looks: Features, side: int) -> None:
    u = stand.unit
    x0, y0 = side * 0.305, -0.09
    white = [
        (-0.15, 0.01),
        (-0.06, -0.06),
        (0.05, -0.065),
        (0.15, 0.0),
        (0.06, 0.05),
        (-0.06, 0.055),
    ]
    shape = curve([stand.face(x0 + x, y0 + y) for x, y in white], steps=6)
    fill(picture, shape, (240, 234, 226))
    clip = stencil(picture.size, shape)
    middle = stand.face(x0 + 0.05 * stand.turn, y0 - 0.008)
    soft(picture, oval(middle, 0.075 * u, 0.075 * u), looks.eyes, 1.0, 0.012 * u, clip)
    soft(picture, oval(middle, 0.036 * u, 0.036 * u), (14, 10, 12), 1.0, 0.008 * u, clip)
    fill(
        picture,
        oval((middle[0] - 0.028 * u, middle[1] - 0.03 * u), 0.017 * u, 0.017 * u),
        (255, 255, 255),
    )
    lid = curve(
        [
            stand.face(x0 + x, y0 + y)
            for x, y in ((-0.165, 0.02), (-0.06, -0.072), (0.05, -0.078), (0.17, 0.0))
        ],
        closed=False,
    )
    fill(picture, limb(lid[::3], (0.022 * u, 0.045 * u, 0.03 * u)), darker(looks.skin, 0.8))


def _mouth(
    picture: Image.Image, stand: Bearing, looks: Features, open_smile: bool, dark: Colour
) -> None:
    u, w = stand.unit, 0.27 * looks.mouth
    lips = mix(looks.skin, (158, 52, 56), 0.5)
    if open_smile:
        teeth = [
            (-w, 0.52),
            (0.0, 0.57),
            (w, 0.52),
            (w * 0.55, 0.67),
            (0.0, 0.71),
            (-w * 0.55, 0.67),
        ]
        shape = curve([stand.face(x, y) for x, y in teeth], steps=6)
        fill(picture, shape, (246, 240, 230))
        lower = [
            stand.face(x, y)
            for x, y in ((-w, 0.52), (-w * 0.5, 0.68), (0.0, 0.725), (w * 0.5, 0.68), (w, 0.52))
        ]
        fill(picture, limb(curve(lower, closed=False)[::4], (0.02 * u, 0.07 * u, 0.02 * u)), lips)
    else:
        lower = [stand.face(x, y) for x, y in ((-w * 0.75, 0.585), (0.0, 0.645), (w * 0.75, 0.585))]
        fill(picture, limb(lower, (0.02 * u, 0.1 * u, 0.02 * u)), lips)
    lift = 0.52 if open_smile else 0.555
    upper = [
        stand.face(x, y)
        for x, y in (
            (-w * 1.08, lift - 0.01),
            (-w * 0.4, lift + 0.035),
            (0.0, lift + 0.045),
            (w * 0.4, lift + 0.035),
            (w * 1.08, lift - 0.01),
        )
    ]
    fill(
        picture,
        limb(curve(upper, closed=False)[::4], (0.025 * u, 0.055 * u, 0.025 * u)),
        mix(dark, lips, 0.25),
    )
    soft(
        picture,
        oval(stand.face(0.0, 0.8), 0.14 * u, 0.035 * u),
        darker(looks.skin, 0.4),
        0.5,
        0.03 * u,
    )
