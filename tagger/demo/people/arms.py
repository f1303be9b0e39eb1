"""Arms in their sleeves, and what they hold in each pose. Places are in the units of a
`Bearing`."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from tagger.demo.art.brush import Colour, Point, darker, lighter
from tagger.demo.people.gear import draw_ball, draw_gaff

if TYPE_CHECKING:
    from tagger.demo.people.bearing import Canvas
    from tagger.demo.people.clubs import Team
    from tagger.demo.people.faces import FaceFeatures


def draw_arms(canvas: Canvas, looks: FaceFeatures, team: Team, pose: str) -> None:
    """Paint the arms of a pose with what they hold; ``pose`` is one of
    `tagger.demo.people.figure.POSES`. A bust has none."""
    if painted := _ARMS.get(pose):
        painted(canvas, looks.skin, looks.shoulders, team)


def _shouldered(canvas: Canvas, skin: Colour, w: float, team: Team) -> None:
    draw_gaff(canvas, (0.5, 6.5), (2.1, -1.0), 1)
    _sleeve(canvas, team, [(1.72 * w, 5.0), (1.62 * w, 4.3), (1.3, 3.42)], (0.86, 0.8, 0.54))
    _fist(canvas, skin, (1.24, 3.0))


def _cast(canvas: Canvas, skin: Colour, w: float, team: Team) -> None:
    near = [(-1.35 * w, 2.2), (-0.6, 3.05), (0.75, 2.5)]
    far = [(1.35 * w, 2.05), (2.2, 2.1), (2.4, 1.5), (1.98, 1.05)]
    # The gaff lies between the arms: over the sleeve that reaches across, under both fists.
    _sleeve(canvas, team, near, (0.85, 0.82, 0.56))
    draw_gaff(canvas, (1.0, 2.6), (2.3, -1.3), -1)
    _fist(canvas, skin, (1.12, 2.2))
    _sleeve(canvas, team, far, (0.88, 0.82, 0.7, 0.52))
    _fist(canvas, skin, (1.68, 0.72))


def _catch(canvas: Canvas, skin: Colour, w: float, team: Team) -> None:
    draw_ball(canvas, (2.0, -0.6), 0.5)
    reaching = [(1.35 * w, 2.05), (2.05, 2.3), (2.35, 1.5), (2.14, 0.5)]
    _sleeve(canvas, team, reaching, (0.88, 0.84, 0.7, 0.5))
    _fist(canvas, skin, (2.06, 0.05))


def _folded(canvas: Canvas, skin: Colour, w: float, team: Team) -> None:
    widths = (0.8, 0.9, 0.78, 0.56)
    # Each fist is tucked under the other arm, so it goes before the sleeve that covers it.
    _fist(canvas, skin, (-0.95, 3.3))
    _sleeve(canvas, team, [(1.45 * w, 2.2), (1.6 * w, 3.3), (0.6, 3.75), (-0.6, 3.42)], widths)
    _fist(canvas, skin, (1.12, 3.6))
    _sleeve(canvas, team, [(-1.45 * w, 2.2), (-1.65 * w, 3.4), (-0.6, 4.0), (0.7, 3.74)], widths)


_ARMS: dict[str, Callable[[Canvas, Colour, float, Team], None]] = {
    "shouldered": _shouldered,
    "cast": _cast,
    "catch": _catch,
    "folded": _folded,
}


def _sleeve(canvas: Canvas, team: Team, points: Sequence[Point], widths: tuple[float, ...]) -> None:
    """An arm in its sleeve, from the shoulder to the cuff."""
    b, ink = canvas.bearing, team.main
    # A dark edge all around sets the arm off from the shirt, which has the same colour.
    canvas.fill(b.limb(points, [w + 0.06 for w in widths]), darker(ink, 0.55))
    shape = b.limb(points, widths)
    canvas.fill(shape, ink)
    canvas.fill(b.oval(points[0], widths[0] / 2, widths[0] / 2), ink)
    clip = canvas.stencil(shape)
    lower = b.limb([(x + 0.17, y + 0.2) for x, y in points], [w * 0.5 for w in widths])
    canvas.soft(lower, darker(ink, 0.75), 0.6, 0.09, clip)
    upper = b.limb([(x - 0.1, y - 0.16) for x, y in points], [w * 0.2 for w in widths])
    canvas.soft(upper, lighter(ink, 0.7), 0.4, 0.07, clip)
    for x, y in points[1:-1]:
        crease = b.limb([(x - 0.22, y - 0.1), (x, y + 0.04), (x + 0.1, y + 0.2)], (0.02, 0.1, 0.02))
        canvas.soft(crease, darker(ink, 0.75), 0.6, 0.035, clip)
    _cuff(canvas, team.second, points[-2], points[-1], widths[-1])


def _cuff(canvas: Canvas, colour: Colour, before: Point, end: Point, width: float) -> None:
    """The cuff goes on beyond the sleeve's end, the way the arm points."""
    (x0, y0), (x1, y1) = before, end
    length = max(0.1, ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5)
    beyond = (x1 + 0.2 * (x1 - x0) / length, y1 + 0.2 * (y1 - y0) / length)
    cuff = canvas.bearing.limb([end, beyond], [width * 1.1] * 2)
    canvas.fill(cuff, colour)
    shaded = canvas.bearing.oval((beyond[0] + 0.12, beyond[1] + 0.12), 0.2, 0.2)
    canvas.soft(shaded, darker(colour, 0.6), 0.5, 0.07, canvas.stencil(cuff))


def _fist(canvas: Canvas, skin: Colour, at: Point) -> None:
    b, (x, y) = canvas.bearing, at
    shape = b.curve(
        [
            (x - 0.3, y - 0.1), (x - 0.12, y - 0.3), (x + 0.2, y - 0.26), (x + 0.32, y + 0.04),
            (x + 0.16, y + 0.3), (x - 0.2, y + 0.26),
        ]
    )  # fmt: skip
    canvas.fill(shape, skin)
    shaded = b.oval((x + 0.16, y + 0.16), 0.2, 0.16)
    canvas.soft(shaded, darker(skin, 0.5), 0.6, 0.07, canvas.stencil(shape))
    for i in range(3):
        finger = b.line(
            [(x - 0.22 + 0.1 * i, y - 0.14 + 0.11 * i), (x + 0.06 + 0.07 * i, y - 0.24 + 0.13 * i)]
        )
        canvas.stroke(finger, (*darker(skin, 0.6), 190), 0.03)
