"""The shirt in the club's colours, with its number and collar. Places are in the units of a
`Stand`."""

from __future__ import annotations

from dataclasses import replace

from PIL import Image

from tagger.demo.brush import (
    Point,
    curve,
    darker,
    fill,
    lighter,
    limb,
    luminance,
    oval,
    soft,
    stencil,
    stroke,
)
from tagger.demo.letters import Face, cap_height, write
from tagger.demo.looks import Features
from tagger.demo.scenario import TEAMS, Team
from tagger.demo.stand import Bearing

_SHIRTS = ("hoops", "sash", "halves", "yoke", "chest", "pinstripe", "plain")


def draw_shirt(picture: Image.Image, stand: Bearing, looks: Features, team: Team) -> None:
    """Paint the body in its shirt, from the shoulders to below the picture's edge."""
    w, u = looks.shoulders, stand.unit
    half = [
        (0.3, 1.16),
        (0.6, 1.3),
        (1.05, 1.44),
        (1.5, 1.64),
        (1.84, 2.1),
        (1.98, 3.1),
        (2.06, 4.4),
        (2.06, 7.5),
    ]
    points = [*((x * w, y) for x, y in half), *((-x * w, y) for x, y in reversed(half))]
    shape = curve(stand.line(points))
    fill(picture, shape, team.main)
    clip = stencil(picture.size, shape)
    _pattern(picture, stand, team, clip)
    shade = darker(team.main, 0.72)
    dark_side = stand.line(
        [(0.8, 1.0), (0.55, 2.2), (0.85, 3.6), (0.7, 7.0), (3.0, 7.0), (3.0, 1.0)]
    )
    soft(picture, dark_side, shade, 0.55, 0.32 * u, clip)
    for side in (-1, 1):
        seam = [
            (side * 1.2 * w, 2.3),
            (side * 1.4 * w, 3.0),
            (side * 1.4 * w, 4.2),
            (side * 1.44 * w, 6.0),
        ]
        soft(
            picture,
            limb(stand.line(seam), (0.03 * u, 0.13 * u, 0.16 * u, 0.1 * u)),
            shade,
            0.8,
            0.05 * u,
            clip,
        )
        inner = [(x - side * 0.22, y + 0.1) for x, y in seam]
        soft(
            picture,
            limb(stand.line(inner), (0.03 * u, 0.3 * u, 0.34 * u, 0.2 * u)),
            shade,
            0.3,
            0.12 * u,
            clip,
        )
    folds = (
        ((-1.1, 2.0), (-0.7, 2.5), (-0.55, 3.1)),
        ((1.0, 2.1), (0.7, 2.7), (0.65, 3.4)),
        ((-1.2, 3.6), (-0.6, 4.0), (0.1, 4.1)),
        ((-1.75, 2.9), (-1.6, 3.15), (-1.5, 3.2)),
        ((1.1, 3.5), (0.6, 3.8), (0.2, 3.85)),
    )
    for fold in folds:
        soft(
            picture,
            limb(stand.line(fold), (0.02 * u, 0.13 * u, 0.03 * u)),
            shade,
            0.42,
            0.06 * u,
            clip,
        )
        beside = stand.line([(x - 0.12, y - 0.08) for x, y in fold])
        soft(
            picture,
            limb(beside, (0.02 * u, 0.1 * u, 0.02 * u)),
            lighter(team.main, 0.7),
            0.22,
            0.05 * u,
            clip,
        )
    glow = stand.line([(-1.5 * w, 1.78), (-1.0 * w, 1.56), (-0.6, 1.44)])
    soft(
        picture,
        limb(glow, (0.12 * u, 0.22 * u, 0.06 * u)),
        lighter(team.main, 0.7),
        0.45,
        0.09 * u,
        clip,
    )
    soft(
        picture,
        oval(stand.at(-1.66 * w, 2.7), 0.13 * u, 0.7 * u),
        lighter(team.main, 0.7),
        0.36,
        0.12 * u,
        clip,
    )
    soft(picture, oval(stand.at(0.12, 1.5), 0.75 * u, 0.3 * u), shade, 0.55, 0.14 * u, clip)


def _pattern(picture: Image.Image, stand: Bearing, team: Team, clip: Image.Image) -> None:
    style = _SHIRTS[TEAMS.index(team) % len(_SHIRTS)]
    box = clip.getbbox()
    if box is None:
        return
    cloth = picture.crop(box)
    stand = replace(stand, x=stand.x - box[0], y=stand.y - box[1])
    bend = 0.22
    if style == "hoops":
        for y in (1.9, 2.9, 3.9, 4.9):
            hoop = stand.line([(-2.8, y - 0.1), (-1.0, y + bend), (1.0, y + bend), (2.8, y - 0.1)])
            fill(cloth, limb(hoop, [0.48 * stand.unit] * 4), team.second)
    elif style == "sash":
        fill(cloth, stand.line([(-1.7, 1.3), (-0.9, 1.3), (2.2, 5.0), (1.2, 5.2)]), team.second)
        fill(cloth, stand.line([(-1.38, 1.3), (-1.2, 1.3), (1.85, 5.1), (1.6, 5.1)]), team.trim)
    elif style == "halves":
        fill(cloth, stand.line([(0.0, 0.8), (3.4, 0.8), (3.4, 8.0), (0.0, 8.0)]), team.second)
    elif style == "yoke":
        fill(
            cloth,
            curve(
                stand.line(
                    [
                        (-2.8, 0.8),
                        (2.8, 0.8),
                        (2.8, 2.0),
                        (1.2, 2.35),
                        (0.0, 2.5),
                        (-1.2, 2.35),
                        (-2.8, 2.0),
                    ]
                )
            ),
            team.second,
        )
        edge = stand.line([(-2.8, 2.0), (-1.2, 2.37), (0.0, 2.5), (1.2, 2.37), (2.8, 2.0)])
        fill(cloth, limb(edge, [0.13 * stand.unit] * 5), team.trim)
    elif style == "chest":
        for y, width, colour in (
            (3.0, 0.98, team.second),
            (3.0, 0.7, team.main),
            (3.0, 0.5, team.trim),
        ):
            band = stand.line([(-2.8, y - 0.1), (-1.0, y + bend), (1.0, y + bend), (2.8, y - 0.1)])
            fill(cloth, limb(band, [width * stand.unit] * 4), colour)
    elif style == "pinstripe":
        for i in range(-9, 10):
            stripe = stand.line([(i * 0.27, 1.0), (i * 0.3, 3.0), (i * 0.31, 8.0)])
            fill(cloth, limb(stripe, [0.07 * stand.unit] * 3), team.second)
    else:
        for side in (-1, 1):
            sleeve = stand.line([(side * 1.1, 1.3), (side * 1.65, 2.2), (side * 1.75, 8.0)])
            fill(cloth, limb(sleeve, [0.26 * stand.unit] * 3), team.trim)
    picture.paste(cloth, box, clip.crop(box))


def draw_letters(
    picture: Image.Image, stand: Bearing, team: Team, text: str, spot: Point, size: float
) -> None:
    """The shirt number or the club's letters, edged so that they read on any pattern."""
    inks = sorted(
        (team.trim, team.second, (250, 248, 240)),
        key=lambda ink: -abs(luminance(ink) - luminance(team.main)),
    )
    em = size * stand.unit
    x, y = stand.at(*spot)
    base = (x, y + cap_height(em) / 2)
    write(
        picture,
        base,
        text,
        Face(em, weight=0.14, width=0.92, tracking=-0.072),
        darker(team.main, 0.25),
        "m",
    )
    write(picture, base, text, Face(em, weight=0.06, width=0.92), inks[0], "m")


def draw_neck(picture: Image.Image, stand: Bearing, looks: Features, team: Team) -> None:
    """Paint the neck and the collar around it."""
    u, w = stand.unit, 0.46 if looks.shoulders > 0.95 else 0.37
    neck = curve(
        stand.line(
            [
                (-w, 0.5),
                (w, 0.5),
                (w + 0.02, 1.15),
                (w + 0.22, 1.45),
                (0.0, 1.8),
                (-w - 0.22, 1.45),
                (-w - 0.02, 1.15),
            ]
        )
    )
    fill(picture, neck, darker(looks.skin, 0.1))
    clip = stencil(picture.size, neck)
    soft(
        picture,
        stand.line([(-0.7, 0.6), (0.7, 0.6), (0.6, 1.3), (0.1, 1.45), (-0.4, 1.25)]),
        darker(looks.skin, 0.55),
        0.75,
        0.1 * u,
        clip,
    )
    _collar(picture, stand, w, team)


def _collar(picture: Image.Image, stand: Bearing, w: float, team: Team) -> None:
    """A rolled, a folded or a bound collar, as the club has it; ``w`` is half the width of the
    neck."""
    u = stand.unit
    style = TEAMS.index(team) % 3
    ink = team.second if TEAMS.index(team) % 7 not in (2, 3) else team.trim
    if style == 0:
        roll = curve(
            stand.line(
                [
                    (-w - 0.1, 1.0),
                    (0.0, 1.22),
                    (w + 0.1, 1.0),
                    (w + 0.28, 1.45),
                    (0.0, 1.78),
                    (-w - 0.28, 1.45),
                ]
            )
        )
        fill(picture, roll, ink)
        inside = stencil(picture.size, roll)
        for i in range(-7, 8):
            soft(
                picture,
                limb([stand.at(i * 0.1, 0.9), stand.at(i * 0.13, 1.9)], (0.03 * u, 0.03 * u)),
                darker(ink, 0.5),
                0.5,
                0.012 * u,
                inside,
            )
        soft(
            picture,
            stand.line([(0.15, 0.8), (1.0, 0.8), (1.0, 2.0), (0.25, 2.0)]),
            darker(ink, 0.65),
            0.5,
            0.1 * u,
            inside,
        )
    elif style == 1:
        for side in (-1, 1):
            flap = stand.line(
                [
                    (side * (w - 0.02), 1.02),
                    (side * (w + 0.38), 1.36),
                    (side * 0.62, 1.98),
                    (side * 0.02, 1.66),
                ]
            )
            fill(picture, flap, ink if side < 0 else darker(ink, 0.18))
            stroke(picture, [*flap, flap[0]], (*darker(ink, 0.6), 150), 0.03 * u)
    else:
        collar = stand.line(
            [(-w - 0.14, 1.16), (-0.2, 1.72), (0.0, 1.82), (0.2, 1.72), (w + 0.14, 1.16)]
        )
        fill(picture, limb(collar, [0.22 * u] * 5), ink)
        soft(picture, limb(collar[2:], [0.2 * u] * 3), darker(ink, 0.6), 0.4, 0.06 * u)
