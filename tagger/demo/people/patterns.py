"""The patterns of the clubs' shirts. Places are in the units of a `Bearing`."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from tagger.demo.people.clubs import TEAMS, Team

if TYPE_CHECKING:
    from tagger.demo.art.brush import Ink
    from tagger.demo.people.bearing import Canvas

_YOKE = ((-2.8, 0.8), (2.8, 0.8), (2.8, 2.0), (1.2, 2.35), (0.0, 2.5), (-1.2, 2.35), (-2.8, 2.0))
_YOKE_EDGE = ((-2.8, 2.0), (-1.2, 2.37), (0.0, 2.5), (1.2, 2.37), (2.8, 2.0))


def draw_pattern(canvas: Canvas, team: Team) -> None:
    """Paint the club's pattern; it goes beyond the shirt and is cut to it by the caller."""
    _PATTERNS[TEAMS.index(team) % len(_PATTERNS)](canvas, team)


def _band(canvas: Canvas, y: float, width: float, colour: Ink) -> None:
    """A band across the chest; it hangs in the middle, as cloth does around a body."""
    places = [(-2.8, y - 0.1), (-1.0, y + 0.22), (1.0, y + 0.22), (2.8, y - 0.1)]
    canvas.fill(canvas.bearing.limb(places, [width] * 4), colour)


def _hoops(canvas: Canvas, team: Team) -> None:
    for y in (1.9, 2.9, 3.9, 4.9):
        _band(canvas, y, 0.48, team.second)


def _sash(canvas: Canvas, team: Team) -> None:
    b = canvas.bearing
    canvas.fill(b.line([(-1.7, 1.3), (-0.9, 1.3), (2.2, 5.0), (1.2, 5.2)]), team.second)
    canvas.fill(b.line([(-1.38, 1.3), (-1.2, 1.3), (1.85, 5.1), (1.6, 5.1)]), team.trim)


def _halves(canvas: Canvas, team: Team) -> None:
    half = canvas.bearing.line([(0.0, 0.8), (3.4, 0.8), (3.4, 8.0), (0.0, 8.0)])
    canvas.fill(half, team.second)


def _yoke(canvas: Canvas, team: Team) -> None:
    canvas.fill(canvas.bearing.curve(_YOKE), team.second)
    canvas.fill(canvas.bearing.limb(_YOKE_EDGE, [0.13] * 5), team.trim)


def _chest(canvas: Canvas, team: Team) -> None:
    for width, colour in ((0.98, team.second), (0.7, team.main), (0.5, team.trim)):
        _band(canvas, 3.0, width, colour)


def _pinstripe(canvas: Canvas, team: Team) -> None:
    for i in range(-9, 10):
        stripe = [(i * 0.27, 1.0), (i * 0.3, 3.0), (i * 0.31, 8.0)]
        canvas.fill(canvas.bearing.limb(stripe, [0.07] * 3), team.second)


def _sleeve_stripes(canvas: Canvas, team: Team) -> None:
    for side in (-1, 1):
        stripe = [(side * 1.1, 1.3), (side * 1.65, 2.2), (side * 1.75, 8.0)]
        canvas.fill(canvas.bearing.limb(stripe, [0.26] * 3), team.trim)


# In the order of the clubs; with seven patterns for fourteen clubs, two share each.
_PATTERNS: tuple[Callable[[Canvas, Team], None], ...] = (
    _hoops, _sash, _halves, _yoke, _chest, _pinstripe, _sleeve_stripes,
)  # fmt: skip
