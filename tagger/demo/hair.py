"""Hair and beards, painted in soft shapes. Places are in the units of `tagger.demo.stand.Stand`."""

from __future__ import annotations

import random

from PIL import Image

from tagger.demo.brush import curve, darker, fill, lighter, limb, mix, oval, soft, stencil
from tagger.demo.looks import Features
from tagger.demo.stand import Bearing, mirrored


def draw_hair_behind(picture: Image.Image, stand: Bearing, looks: Features) -> None:
    """Paint the hair that hangs behind a head; it goes below neck and shirt, so it is painted
    before them."""
    u, back = stand.unit, darker(looks.hair, 0.32)
    turn = stand.turn * -0.1
    if looks.style == "long":
        half = [
            (0.0, -1.12),
            (0.62, -0.98),
            (0.92, -0.3),
            (0.98, 0.6),
            (0.92, 1.5),
            (0.5, 1.75),
            (0.0, 1.7),
        ]
    elif looks.style == "bob":
        half = [(0.0, -1.12), (0.64, -0.98), (0.95, -0.3), (1.0, 0.5), (0.72, 0.95), (0.0, 0.9)]
    elif looks.style == "round":
        half = [(0.0, -1.5), (0.7, -1.35), (1.12, -0.75), (1.12, -0.1), (0.85, 0.35), (0.0, 0.3)]
    else:
        half = []
    if half:
        fill(picture, curve(stand.line([(x + turn, y) for x, y in mirrored(half)])), back)
    if looks.style == "bun":
        fill(picture, oval(stand.at(0.1 + turn, -1.28), 0.36 * u, 0.32 * u), back)
        soft(
            picture,
            oval(stand.at(turn, -1.36), 0.16 * u, 0.1 * u),
            lighter(looks.hair, 0.25),
            0.6,
            0.06 * u,
        )
    elif looks.style == "tail":
        side = -1 if stand.turn >= 0 else 1
        tail = stand.line(
            [(side * 0.45, -0.8), (side * 1.05, -0.5), (side * 1.12, 0.3), (side * 0.98, 1.1)]
        )
        fill(picture, limb(tail, (0.3 * u, 0.5 * u, 0.42 * u, 0.05 * u)), back)
    elif looks.style == "braids":
        for side in (-1, 1):
            for i in range(7):
                spot = stand.at(side * (0.72 + 0.04 * i), 0.2 + 0.24 * i)
                fill(
                    picture,
                    oval(spot, (0.19 - 0.012 * i) * u, 0.16 * u),
                    back if i % 2 else mix(back, looks.hair, 0.7),
                )


def draw_hair(
    picture: Image.Image, stand: Bearing, looks: Features, under_hat: bool, rng: random.Random
) -> None:
    """Paint the hair above and beside a face; only the sides where a hat covers the rest."""
    u, hair = stand.unit, looks.hair
    for side in (-1, 1):
        burn = [
            (side * 0.66, -0.6),
            (side * 0.82, -0.5),
            (side * 0.79, 0.0),
            (side * 0.68, 0.06),
            (side * 0.66, -0.2),
        ]
        fill(
            picture,
            curve(stand.line([(x - 0.06 * stand.turn, y) for x, y in burn])),
            hair if side < 0 else darker(hair, 0.25),
        )
    if under_hat:
        return
    fringes = {
        "cropped": [
            (0.72, -0.34),
            (0.6, -0.62),
            (0.2, -0.68),
            (-0.25, -0.66),
            (-0.62, -0.6),
            (-0.72, -0.34),
        ],
        "parted": [
            (0.72, -0.3),
            (0.62, -0.5),
            (0.3, -0.66),
            (-0.36, -0.86),
            (-0.6, -0.6),
            (-0.72, -0.3),
        ],
        "swept": [
            (0.74, -0.3),
            (0.66, -0.7),
            (0.1, -0.5),
            (-0.3, -0.46),
            (-0.64, -0.5),
            (-0.73, -0.3),
        ],
        "thin": [
            (0.74, -0.4),
            (0.64, -0.74),
            (0.3, -0.9),
            (-0.3, -0.92),
            (-0.62, -0.76),
            (-0.74, -0.4),
        ],
        "bob": [
            (0.72, -0.2),
            (0.66, -0.4),
            (0.2, -0.46),
            (-0.3, -0.46),
            (-0.64, -0.4),
            (-0.72, -0.2),
        ],
        "long": [
            (0.74, 0.1),
            (0.66, -0.4),
            (0.2, -0.84),
            (0.0, -0.88),
            (-0.5, -0.62),
            (-0.74, 0.1),
        ],
    }
    fringe = fringes.get(
        looks.style,
        [(0.74, -0.24), (0.6, -0.62), (0.2, -0.76), (-0.2, -0.78), (-0.6, -0.64), (-0.74, -0.24)],
    )
    top = -1.08 if looks.style in ("thin", "cropped") else -1.18
    crown = [
        (-0.81, -0.2),
        (-0.84, -0.6),
        (-0.55, -1.0),
        (0.0, top),
        (0.55, -1.0),
        (0.84, -0.6),
        (0.81, -0.2),
    ]
    shape = curve(stand.line([(x - 0.05 * stand.turn, y) for x, y in [*crown, *fringe]]), steps=8)
    fill(picture, shape, hair)
    clip = stencil(picture.size, shape)
    if looks.style in ("curls", "round"):
        for _ in range(26):
            spot = stand.at(rng.uniform(-0.68, 0.68), rng.uniform(-1.02, -0.7))
            tone = rng.choice((hair, lighter(hair, 0.12), darker(hair, 0.2)))
            fill(picture, oval(spot, rng.uniform(0.1, 0.17) * u, rng.uniform(0.1, 0.16) * u), tone)
    soft(
        picture,
        stand.line([(0.35, -1.3), (0.95, -1.2), (0.95, 0.2), (0.6, 0.0), (0.55, -0.7)]),
        darker(hair, 0.6),
        0.55,
        0.12 * u,
        clip,
    )
    shine = [stand.at(x, y) for x, y in ((-0.6, -0.72), (-0.36, -0.96), (0.05, -1.02))]
    soft(
        picture,
        limb(shine, (0.04 * u, 0.14 * u, 0.04 * u)),
        lighter(hair, 0.55),
        0.55,
        0.05 * u,
        clip,
    )


def draw_beard(picture: Image.Image, stand: Bearing, looks: Features, clip: Image.Image) -> None:
    """Paint stubble or a full beard on a face, stubble inside the face's mask ``clip``."""
    jaw = looks.jaw
    half = [
        (0.0, 0.44),
        (0.3, 0.43),
        (0.52 * jaw, 0.25),
        (0.72, -0.12),
        (0.82, 0.2),
        (0.62 * jaw, 0.76),
        (0.32 * jaw, 1.04),
        (0.0, 1.12),
    ]
    shape = stand.line([(x + stand.turn * 0.12 * max(0.0, y), y) for x, y in mirrored(half)])
    if looks.beard == "stubble":
        soft(
            picture, curve(shape), mix(looks.hair, looks.skin, 0.25), 0.42, 0.07 * stand.unit, clip
        )
    else:
        soft(picture, curve(shape), looks.hair, 0.97, 0.03 * stand.unit)
        soft(
            picture,
            oval(stand.at(-0.25, 0.72), 0.16 * stand.unit, 0.16 * stand.unit),
            lighter(looks.hair, 0.3),
            0.5,
            0.1 * stand.unit,
        )
        gap = curve(
            [stand.face(x, y) for x, y in ((-0.24, 0.57), (0.0, 0.52), (0.24, 0.57), (0.0, 0.68))]
        )
        soft(picture, gap, looks.skin, 0.9, 0.03 * stand.unit)


def draw_moustache(picture: Image.Image, stand: Bearing, looks: Features) -> None:
    """Paint a moustache."""
    u = stand.unit
    hairs = [
        stand.face(x, y)
        for x, y in ((-0.36, 0.55), (-0.2, 0.44), (0.0, 0.41), (0.2, 0.44), (0.36, 0.55))
    ]
    fill(picture, limb(hairs, (0.03 * u, 0.13 * u, 0.11 * u, 0.13 * u, 0.03 * u)), looks.hair)
