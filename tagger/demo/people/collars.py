"""The collars of the clubs' shirts. Places are in the units of a `Bearing`."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tagger.demo.art.brush import Colour, darker
from tagger.demo.people.clubs import TEAMS, Team

if TYPE_CHECKING:
    from tagger.demo.people.bearing import Canvas


def draw_collar(canvas: Canvas, team: Team, w: float) -> None:
    """A rolled, a folded or a bound collar, as the club has it; ``w`` is half the width of the
    neck."""
    place = TEAMS.index(team)
    # Patterns go by sevens as well: on the yoke and the halves the second colour would vanish.
    ink = team.trim if place % 7 in (2, 3) else team.second
    (_rolled, _folded, _bound)[place % 3](canvas, ink, w)


def _rolled(canvas: Canvas, ink: Colour, w: float) -> None:
    b = canvas.bearing
    roll = b.curve(
        [
            (-w - 0.1, 1.0), (0.0, 1.22), (w + 0.1, 1.0), (w + 0.28, 1.45), (0.0, 1.78),
            (-w - 0.28, 1.45),
        ]
    )  # fmt: skip
    canvas.fill(roll, ink)
    inside = canvas.stencil(roll)
    for i in range(-7, 8):
        rib = b.limb([(i * 0.1, 0.9), (i * 0.13, 1.9)], (0.03, 0.03))
        canvas.soft(rib, darker(ink, 0.5), 0.5, 0.012, inside)
    away = b.line([(0.15, 0.8), (1.0, 0.8), (1.0, 2.0), (0.25, 2.0)])
    canvas.soft(away, darker(ink, 0.65), 0.5, 0.1, inside)


def _folded(canvas: Canvas, ink: Colour, w: float) -> None:
    for side, tone in ((-1, ink), (1, darker(ink, 0.18))):
        flap = canvas.bearing.line(
            [
                (side * (w - 0.02), 1.02), (side * (w + 0.38), 1.36), (side * 0.62, 1.98),
                (side * 0.02, 1.66),
            ]
        )  # fmt: skip
        canvas.fill(flap, tone)
        canvas.stroke([*flap, flap[0]], (*darker(ink, 0.6), 150), 0.03)


def _bound(canvas: Canvas, ink: Colour, w: float) -> None:
    b = canvas.bearing
    collar = [(-w - 0.14, 1.16), (-0.2, 1.72), (0.0, 1.82), (0.2, 1.72), (w + 0.14, 1.16)]
    canvas.fill(b.limb(collar, [0.22] * 5), ink)
    canvas.soft(b.limb(collar[2:], [0.2] * 3), darker(ink, 0.6), 0.4, 0.06)
