"""Caps, headbands and glasses. Places are in the units of `tagger.demo.stand.Stand`."""

from __future__ import annotations

from PIL import Image

from tagger.demo.brush import (
    Colour,
    Point,
    curve,
    darker,
    fill,
    lighter,
    limb,
    oval,
    soft,
    stencil,
    stroke,
)
from tagger.demo.letters import Face, cap_height, write
from tagger.demo.looks import Features
from tagger.demo.scenario import Team
from tagger.demo.stand import Bearing, mirrored

# Right halves of outlines, from the middle above to the middle below.
_KNIT_DOME = ((0.0, -1.46), (0.5, -1.36), (0.84, -0.95), (0.84, -0.45), (0.0, -0.55))
_KNIT_CUFF = ((0.0, -0.81), (0.4, -0.8), (0.9, -0.72), (0.88, -0.34), (0.4, -0.42), (0.0, -0.44))
_CAP_CROWN = ((0.0, -1.36), (0.62, -1.26), (0.95, -0.9), (0.83, -0.5), (0.0, -0.66))
_CAP_BAND = ((0.0, -0.8), (0.84, -0.64), (0.83, -0.46), (0.0, -0.6))
_HEADBAND = ((0.0, -0.76), (0.82, -0.62), (0.8, -0.42), (0.0, -0.54))
_FRAMES: Colour = (46, 34, 30)


def draw_hat(picture: Image.Image, stand: Bearing, team: Team, looks: Features, hat: str) -> None:
    """Put a hat of the club on a head: "knit", "peak" or "band", nothing for an empty text."""
    if hat == "knit":
        _knit_cap(picture, stand, team)
    elif hat == "peak":
        _peaked_cap(picture, stand, team, looks)
    elif hat == "band":
        _headband(picture, stand, team)


def draw_glasses(picture: Image.Image, stand: Bearing) -> None:
    """Put round glasses on a face."""
    u = stand.unit
    for side in (-1, 1):
        ring = oval(stand.face(side * 0.305, -0.06), 0.21 * u, 0.18 * u)
        fill(picture, ring, (255, 255, 255, 34))
        stroke(picture, [*ring, ring[0]], _FRAMES, 0.035 * u)
    stroke(picture, [stand.face(-0.1, -0.09), stand.face(0.1, -0.09)], _FRAMES, 0.035 * u)


def _piece(
    picture: Image.Image, stand: Bearing, half: tuple[Point, ...], colour: Colour
) -> Image.Image:
    """Paint a piece of a hat from its right half; gives its mask."""
    shape = curve(stand.line(mirrored(half)))
    fill(picture, shape, colour)
    return stencil(picture.size, shape)


def _shade(
    picture: Image.Image, stand: Bearing, colour: Colour, opacity: float, clip: Image.Image
) -> None:
    """Darken the side of a hat that is away from the light."""
    side = stand.line([(0.36, -1.6), (1.1, -1.6), (1.1, -0.2), (0.5, -0.2)])
    soft(picture, side, darker(colour, 0.6), opacity, 0.12 * stand.unit, clip)


def _knit_cap(picture: Image.Image, stand: Bearing, team: Team) -> None:
    u = stand.unit
    clip = _piece(picture, stand, _KNIT_DOME, team.main)
    for i in range(-5, 6):
        rib = [stand.at(i * 0.17, -0.4), stand.at(i * 0.15, -1.0), stand.at(i * 0.08, -1.5)]
        soft(
            picture,
            limb(rib, (0.05 * u, 0.04 * u, 0.02 * u)),
            darker(team.main, 0.4),
            0.5,
            0.02 * u,
            clip,
        )
    _shade(picture, stand, team.main, 0.6, clip)
    clip = _piece(picture, stand, _KNIT_CUFF, team.second)
    for i in range(-9, 10):
        rib = [stand.at(i * 0.1, -0.25), stand.at(i * 0.1, -0.85)]
        soft(
            picture,
            limb(rib, (0.03 * u, 0.03 * u)),
            darker(team.second, 0.45),
            0.5,
            0.012 * u,
            clip,
        )
    _shade(picture, stand, team.second, 0.5, clip)
    fill(picture, oval(stand.at(0.0, -1.5), 0.2 * u, 0.18 * u), team.trim)
    soft(
        picture,
        oval(stand.at(0.07, -1.45), 0.12 * u, 0.12 * u),
        darker(team.trim, 0.5),
        0.5,
        0.06 * u,
    )


def _peaked_cap(picture: Image.Image, stand: Bearing, team: Team, looks: Features) -> None:
    u, shift = stand.unit, 0.35 * stand.turn
    brow = stand.line([(-0.7, -0.5), (0.75, -0.5), (0.7, -0.28), (-0.6, -0.28)])
    soft(picture, brow, darker(looks.skin, 0.6), 0.6, 0.07 * u)
    clip = _piece(picture, stand, _CAP_CROWN, team.main)
    _shade(picture, stand, team.main, 0.6, clip)
    soft(
        picture,
        oval(stand.at(-0.45, -1.1), 0.25 * u, 0.1 * u),
        lighter(team.main, 0.5),
        0.45,
        0.07 * u,
        clip,
    )
    _piece(picture, stand, _CAP_BAND, team.second)
    above = [(x + shift, y) for x, y in ((-0.74, -0.55), (0.0, -0.68), (0.74, -0.55))]
    below = [(x + shift * 1.4, y) for x, y in ((0.58, -0.36), (0.0, -0.27), (-0.58, -0.36))]
    peak = curve(stand.line([*above, *below]))
    fill(picture, peak, darker(team.main, 0.35))
    gleam = oval(stand.at(-0.2 + shift, -0.5), 0.3 * u, 0.05 * u)
    soft(picture, gleam, lighter(team.main, 0.45), 0.6, 0.04 * u, stencil(picture.size, peak))
    em = 0.42 * u
    x, y = stand.at(0.22 * stand.turn, -0.98)
    write(
        picture, (x, y + cap_height(em) / 2), team.letters[0], Face(em, weight=0.05), team.trim, "m"
    )


def _headband(picture: Image.Image, stand: Bearing, team: Team) -> None:
    u = stand.unit
    clip = _piece(picture, stand, _HEADBAND, team.second)
    stripe = limb(
        stand.line([(-0.8, -0.52), (0.0, -0.65), (0.8, -0.52)]), (0.06 * u, 0.07 * u, 0.06 * u)
    )
    soft(picture, stripe, team.main, 1.0, 0.01 * u, clip)
    _shade(picture, stand, team.second, 0.5, clip)
