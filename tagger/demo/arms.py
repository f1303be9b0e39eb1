"""Arms in their sleeves, the gaff and the ball. Places are in the units of a `Stand`."""

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
from tagger.demo.looks import Features
from tagger.demo.scenario import Team
from tagger.demo.stand import Bearing

_WOOD: Colour = (176, 122, 66)

_CORK: Colour = (204, 164, 110)


def draw_arms(picture: Image.Image, stand: Bearing, looks: Features, team: Team, pose: str) -> None:
    """Paint the arms of a pose with what they hold; ``pose`` is one of
    `tagger.demo.figure.POSES`."""
    skin, w = looks.skin, looks.shoulders
    if pose == "shouldered":
        _gaff(picture, stand, (0.5, 6.5), (2.1, -1.0), 1)
        _sleeve(
            picture, stand, team, [(1.72 * w, 5.0), (1.62 * w, 4.3), (1.3, 3.42)], (0.86, 0.8, 0.54)
        )
        _fist(picture, stand, skin, (1.24, 3.0))
    elif pose == "cast":
        _sleeve(
            picture, stand, team, [(-1.35 * w, 2.2), (-0.6, 3.05), (0.75, 2.5)], (0.85, 0.82, 0.56)
        )
        _gaff(picture, stand, (1.0, 2.6), (2.3, -1.3), -1)
        _fist(picture, stand, skin, (1.12, 2.2))
        _sleeve(
            picture,
            stand,
            team,
            [(1.35 * w, 2.05), (2.2, 2.1), (2.4, 1.5), (1.98, 1.05)],
            (0.88, 0.82, 0.7, 0.52),
        )
        _fist(picture, stand, skin, (1.68, 0.72))
    elif pose == "catch":
        _ball(picture, stand, (2.0, -0.6), 0.5)
        _sleeve(
            picture,
            stand,
            team,
            [(1.35 * w, 2.05), (2.05, 2.3), (2.35, 1.5), (2.14, 0.5)],
            (0.88, 0.84, 0.7, 0.5),
        )
        _fist(picture, stand, skin, (2.06, 0.05))
    elif pose == "folded":
        _fist(picture, stand, skin, (-0.95, 3.3))
        _sleeve(
            picture,
            stand,
            team,
            [(1.45 * w, 2.2), (1.6 * w, 3.3), (0.6, 3.75), (-0.6, 3.42)],
            (0.8, 0.9, 0.78, 0.56),
        )
        _fist(picture, stand, skin, (1.12, 3.6))
        _sleeve(
            picture,
            stand,
            team,
            [(-1.45 * w, 2.2), (-1.65 * w, 3.4), (-0.6, 4.0), (0.7, 3.74)],
            (0.8, 0.9, 0.78, 0.56),
        )


def _sleeve(
    picture: Image.Image, stand: Bearing, team: Team, points: list[Point], widths: tuple[float, ...]
) -> None:
    """An arm in its sleeve, from the shoulder to the cuff."""
    u = stand.unit
    ink = team.main
    for grow, colour in ((0.06, darker(ink, 0.55)), (0.0, ink)):
        shape = limb(stand.line(points), [(w + grow) * u for w in widths])
        fill(picture, shape, colour)
        if not grow:
            fill(picture, oval(stand.at(*points[0]), widths[0] * u / 2, widths[0] * u / 2), colour)
    clip = stencil(picture.size, shape)
    lower = [(x + 0.17, y + 0.2) for x, y in points]
    soft(
        picture,
        limb(stand.line(lower), [w * u * 0.5 for w in widths]),
        darker(ink, 0.75),
        0.6,
        0.09 * u,
        clip,
    )
    upper = [(x - 0.1, y - 0.16) for x, y in points]
    soft(
        picture,
        limb(stand.line(upper), [w * u * 0.2 for w in widths]),
        lighter(ink, 0.7),
        0.4,
        0.07 * u,
        clip,
    )
    for spot in points[1:-1]:
        crease = stand.line(
            [
                (spot[0] - 0.22, spot[1] - 0.1),
                (spot[0], spot[1] + 0.04),
                (spot[0] + 0.1, spot[1] + 0.2),
            ]
        )
        soft(
            picture,
            limb(crease, (0.02 * u, 0.1 * u, 0.02 * u)),
            darker(ink, 0.75),
            0.6,
            0.035 * u,
            clip,
        )
    (x0, y0), (x1, y1) = points[-2], points[-1]
    length = max(0.1, ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5)
    end = (x1 + 0.2 * (x1 - x0) / length, y1 + 0.2 * (y1 - y0) / length)
    cuff = limb(stand.line([points[-1], end]), [widths[-1] * u * 1.1] * 2)
    fill(picture, cuff, team.second)
    soft(
        picture,
        oval(stand.at(end[0] + 0.12, end[1] + 0.12), 0.2 * u, 0.2 * u),
        darker(team.second, 0.6),
        0.5,
        0.07 * u,
        stencil(picture.size, cuff),
    )


def _fist(picture: Image.Image, stand: Bearing, skin: Colour, at: Point) -> None:
    u = stand.unit
    x, y = at
    shape = curve(
        stand.line(
            [
                (x - 0.3, y - 0.1),
                (x - 0.12, y - 0.3),
                (x + 0.2, y - 0.26),
                (x + 0.32, y + 0.04),
                (x + 0.16, y + 0.3),
                (x - 0.2, y + 0.26),
            ]
        )
    )
    fill(picture, shape, skin)
    clip = stencil(picture.size, shape)
    soft(
        picture,
        oval(stand.at(x + 0.16, y + 0.16), 0.2 * u, 0.16 * u),
        darker(skin, 0.5),
        0.6,
        0.07 * u,
        clip,
    )
    for i in range(3):
        finger = stand.line(
            [(x - 0.22 + 0.1 * i, y - 0.14 + 0.11 * i), (x + 0.06 + 0.07 * i, y - 0.24 + 0.13 * i)]
        )
        stroke(picture, finger, (*darker(skin, 0.6), 190), 0.03 * u)


def _gaff(picture: Image.Image, stand: Bearing, foot: Point, head: Point, bend: float) -> None:
    """A gaff from its foot to its head, where the hook bends to one side."""
    u = stand.unit
    dx, dy = head[0] - foot[0], head[1] - foot[1]
    length = max(0.1, (dx * dx + dy * dy) ** 0.5)
    ax, ay, nx, ny = dx / length, dy / length, -dy / length * bend, dx / length * bend
    hook = [head, (head[0] + ax * 0.5 + nx * 0.12, head[1] + ay * 0.5 + ny * 0.12)]
    hook += [
        (head[0] + ax * 0.72 + nx * 0.5, head[1] + ay * 0.72 + ny * 0.5),
        (head[0] + ax * 0.45 + nx * 0.85, head[1] + ay * 0.45 + ny * 0.85),
    ]
    shaft = limb(
        stand.line([foot, ((foot[0] + head[0]) / 2, (foot[1] + head[1]) / 2), *hook]),
        [x * u for x in (0.2, 0.18, 0.2, 0.24, 0.26, 0.16)],
    )
    fill(picture, shaft, _WOOD)
    clip = stencil(picture.size, shaft)
    under = [(x + 0.07, y + 0.05) for x, y in (foot, *hook)]
    soft(picture, limb(stand.line(under), [0.1 * u] * 5), darker(_WOOD, 0.6), 0.7, 0.03 * u, clip)
    for share in (0.9, 0.94, 0.98):
        wrap = (foot[0] + dx * share, foot[1] + dy * share)
        ends = stand.line(
            [(wrap[0] - nx * 0.13, wrap[1] - ny * 0.13), (wrap[0] + nx * 0.13, wrap[1] + ny * 0.13)]
        )
        stroke(picture, ends, (236, 228, 206), 0.06 * u)


def _ball(picture: Image.Image, stand: Bearing, at: Point, radius: float) -> None:
    u = stand.unit
    shape = oval(stand.at(*at), radius * u, radius * u)
    fill(picture, shape, _CORK)
    clip = stencil(picture.size, shape)
    soft(
        picture,
        oval(stand.at(at[0] + 0.16, at[1] + 0.16), radius * u, radius * u),
        darker(_CORK, 0.6),
        0.55,
        0.12 * u,
        clip,
    )
    soft(
        picture,
        oval(stand.at(at[0] - 0.16, at[1] - 0.16), 0.12 * u, 0.1 * u),
        lighter(_CORK, 0.8),
        0.7,
        0.06 * u,
        clip,
    )
    for shift in (-0.24, 0.24):
        seam = curve(
            stand.line(
                [
                    (at[0] - radius, at[1] + shift * 1.6),
                    (at[0], at[1] + shift * 0.5),
                    (at[0] + radius, at[1] + shift * 1.6),
                ]
            ),
            closed=False,
        )
        soft(
            picture,
            limb(seam[::4], [0.035 * u] * len(seam[::4])),
            (122, 40, 34),
            0.9,
            0.01 * u,
            clip,
        )
