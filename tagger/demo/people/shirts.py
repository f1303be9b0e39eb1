"""The shirt in the club's colours, with its number and neck. Places are in the units of a
`Bearing`."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from PIL import Image

from tagger.demo.art.brush import Colour, Point, darker, lighter, luminance
from tagger.demo.art.letters import Face, cap_height, write
from tagger.demo.people.bearing import Canvas
from tagger.demo.people.collars import draw_collar
from tagger.demo.people.patterns import draw_pattern

if TYPE_CHECKING:
    from tagger.demo.people.clubs import Team
    from tagger.demo.people.faces import FaceFeatures

# The right half of the body, from the neck down to below any picture's edge.
_BODY = (
    (0.3, 1.16), (0.6, 1.3), (1.05, 1.44), (1.5, 1.64), (1.84, 2.1), (1.98, 3.1), (2.06, 4.4),
    (2.06, 7.5),
)  # fmt: skip
_FOLDS = (
    ((-1.1, 2.0), (-0.7, 2.5), (-0.55, 3.1)),
    ((1.0, 2.1), (0.7, 2.7), (0.65, 3.4)),
    ((-1.2, 3.6), (-0.6, 4.0), (0.1, 4.1)),
    ((-1.75, 2.9), (-1.6, 3.15), (-1.5, 3.2)),
    ((1.1, 3.5), (0.6, 3.8), (0.2, 3.85)),
)


def draw_shirt(canvas: Canvas, looks: FaceFeatures, team: Team) -> None:
    """Paint the body in its shirt, from the shoulders to below the picture's edge."""
    b, w = canvas.bearing, looks.shoulders
    points = [*((x * w, y) for x, y in _BODY), *((-x * w, y) for x, y in reversed(_BODY))]
    shape = b.curve(points)
    canvas.fill(shape, team.main)
    clip = canvas.stencil(shape)
    _pattern(canvas, team, clip)
    # Shadows and light go over the pattern: they lie on the cloth, not under its print.
    shade, light = darker(team.main, 0.72), lighter(team.main, 0.7)
    dark_side = [(0.8, 1.0), (0.55, 2.2), (0.85, 3.6), (0.7, 7.0), (3.0, 7.0), (3.0, 1.0)]
    canvas.soft(b.line(dark_side), shade, 0.55, 0.32, clip)
    for side in (-1, 1):
        _side_seam(canvas, side, w, shade, clip)
    for fold in _FOLDS:
        _fold(canvas, fold, shade, light, clip)
    shoulder = b.limb([(-1.5 * w, 1.78), (-1.0 * w, 1.56), (-0.6, 1.44)], (0.12, 0.22, 0.06))
    canvas.soft(shoulder, light, 0.45, 0.09, clip)
    canvas.soft(b.oval((-1.66 * w, 2.7), 0.13, 0.7), light, 0.36, 0.12, clip)
    below_chin = b.oval((0.12, 1.5), 0.75, 0.3)
    canvas.soft(below_chin, shade, 0.55, 0.14, clip)


def _pattern(canvas: Canvas, team: Team, clip: Image.Image) -> None:
    """The club's pattern, cut to the shirt."""
    # Plain fills know no mask, so it is painted on a copy of the piece and pasted through one.
    box = clip.getbbox()
    if box is None:
        return
    cloth = canvas.picture.crop(box)
    b = canvas.bearing
    draw_pattern(Canvas(cloth, replace(b, x=b.x - box[0], y=b.y - box[1])), team)
    canvas.picture.paste(cloth, box, clip.crop(box))


def _side_seam(canvas: Canvas, side: int, w: float, shade: Colour, clip: Image.Image) -> None:
    """Where the arm lies against the body: a narrow dark line with a broad soft one inside it."""
    b = canvas.bearing
    seam = [
        (side * 1.2 * w, 2.3), (side * 1.4 * w, 3.0), (side * 1.4 * w, 4.2), (side * 1.44 * w, 6.0),
    ]  # fmt: skip
    canvas.soft(b.limb(seam, (0.03, 0.13, 0.16, 0.1)), shade, 0.8, 0.05, clip)
    inner = [(x - side * 0.22, y + 0.1) for x, y in seam]
    canvas.soft(b.limb(inner, (0.03, 0.3, 0.34, 0.2)), shade, 0.3, 0.12, clip)


def _fold(
    canvas: Canvas, fold: Sequence[Point], shade: Colour, light: Colour, clip: Image.Image
) -> None:
    b = canvas.bearing
    canvas.soft(b.limb(fold, (0.02, 0.13, 0.03)), shade, 0.42, 0.06, clip)
    beside = [(x - 0.12, y - 0.08) for x, y in fold]
    canvas.soft(b.limb(beside, (0.02, 0.1, 0.02)), light, 0.22, 0.05, clip)


def draw_letters(canvas: Canvas, team: Team, text: str, spot: Point, size: float) -> None:
    """The shirt number or the club's letters, edged so that they read on any pattern."""
    inks = sorted(
        (team.trim, team.second, (250, 248, 240)),
        key=lambda ink: -abs(luminance(ink) - luminance(team.main)),
    )
    em = size * canvas.bearing.unit
    x, y = canvas.bearing.at(*spot)
    base = (x, y + cap_height(em) / 2)
    # The tracking takes back what the heavier edge adds, so that both lines lie on each other.
    edge = Face(em, weight=0.14, width=0.92, tracking=-0.072)
    write(canvas.picture, base, text, edge, darker(team.main, 0.25), "m")
    write(canvas.picture, base, text, Face(em, weight=0.06, width=0.92), inks[0], "m")


def draw_neck(canvas: Canvas, looks: FaceFeatures, team: Team) -> None:
    """Paint the neck and the collar around it."""
    b, w = canvas.bearing, 0.46 if looks.shoulders > 0.95 else 0.37
    neck = b.curve(
        [
            (-w, 0.5), (w, 0.5), (w + 0.02, 1.15), (w + 0.22, 1.45), (0.0, 1.8), (-w - 0.22, 1.45),
            (-w - 0.02, 1.15),
        ]
    )  # fmt: skip
    canvas.fill(neck, darker(looks.skin, 0.1))
    below_chin = b.line([(-0.7, 0.6), (0.7, 0.6), (0.6, 1.3), (0.1, 1.45), (-0.4, 1.25)])
    canvas.soft(below_chin, darker(looks.skin, 0.55), 0.75, 0.1, canvas.stencil(neck))
    draw_collar(canvas, team, w)
