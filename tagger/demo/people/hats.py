"""Caps, headbands and glasses. Places are in the units of a `Bearing`."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PIL import Image

from tagger.demo.art.brush import Colour, Point, curve, darker, lighter
from tagger.demo.art.letters import Face, cap_height, write
from tagger.demo.people.bearing import Canvas, mirrored

if TYPE_CHECKING:
    from tagger.demo.people.clubs import Team
    from tagger.demo.people.faces import FaceFeatures

# Right halves of outlines, from the middle above to the middle below.
_KNIT_DOME = ((0.0, -1.46), (0.5, -1.36), (0.84, -0.95), (0.84, -0.45), (0.0, -0.55))
_KNIT_CUFF = ((0.0, -0.81), (0.4, -0.8), (0.9, -0.72), (0.88, -0.34), (0.4, -0.42), (0.0, -0.44))
_CAP_CROWN = ((0.0, -1.36), (0.62, -1.26), (0.95, -0.9), (0.83, -0.5), (0.0, -0.66))
_CAP_BAND = ((0.0, -0.8), (0.84, -0.64), (0.83, -0.46), (0.0, -0.6))
_HEADBAND = ((0.0, -0.76), (0.82, -0.62), (0.8, -0.42), (0.0, -0.54))
_FRAMES: Colour = (46, 34, 30)


def draw_hat(canvas: Canvas, team: Team, looks: FaceFeatures, hat: str) -> None:
    """Put a hat of the club on a head: "knit", "peak" or "band", nothing for an empty text."""
    if hat == "knit":
        _knit_cap(canvas, team)
    elif hat == "peak":
        _peaked_cap(canvas, team, looks)
    elif hat == "band":
        _headband(canvas, team)


def draw_glasses(canvas: Canvas) -> None:
    """Put round glasses on a face."""
    b = canvas.bearing
    for side in (-1, 1):
        ring = b.face_oval((side * 0.305, -0.06), 0.21, 0.18)
        canvas.fill(ring, (255, 255, 255, 34))
        canvas.stroke([*ring, ring[0]], _FRAMES, 0.035)
    canvas.stroke([b.face(-0.1, -0.09), b.face(0.1, -0.09)], _FRAMES, 0.035)


def _piece(canvas: Canvas, half: tuple[Point, ...], colour: Colour) -> Image.Image:
    """Paint a piece of a hat from its right half; gives its mask."""
    shape = canvas.bearing.curve(mirrored(half))
    canvas.fill(shape, colour)
    return canvas.stencil(shape)


def _shade(canvas: Canvas, colour: Colour, opacity: float, clip: Image.Image) -> None:
    """Darken the side of a hat that is away from the light."""
    side = canvas.bearing.line([(0.36, -1.6), (1.1, -1.6), (1.1, -0.2), (0.5, -0.2)])
    canvas.soft(side, darker(colour, 0.6), opacity, 0.12, clip)


def _knit_cap(canvas: Canvas, team: Team) -> None:
    b = canvas.bearing
    clip = _piece(canvas, _KNIT_DOME, team.main)
    for i in range(-5, 6):
        rib = b.limb([(i * 0.17, -0.4), (i * 0.15, -1.0), (i * 0.08, -1.5)], (0.05, 0.04, 0.02))
        canvas.soft(rib, darker(team.main, 0.4), 0.5, 0.02, clip)
    _shade(canvas, team.main, 0.6, clip)
    clip = _piece(canvas, _KNIT_CUFF, team.second)
    for i in range(-9, 10):
        rib = b.limb([(i * 0.1, -0.25), (i * 0.1, -0.85)], (0.03, 0.03))
        canvas.soft(rib, darker(team.second, 0.45), 0.5, 0.012, clip)
    _shade(canvas, team.second, 0.5, clip)
    canvas.fill(b.oval((0.0, -1.5), 0.2, 0.18), team.trim)
    canvas.soft(b.oval((0.07, -1.45), 0.12, 0.12), darker(team.trim, 0.5), 0.5, 0.06)


def _peaked_cap(canvas: Canvas, team: Team, looks: FaceFeatures) -> None:
    b = canvas.bearing
    # The peak shades the brow, so this goes on the face before the cap does.
    brow = b.line([(-0.7, -0.5), (0.75, -0.5), (0.7, -0.28), (-0.6, -0.28)])
    canvas.soft(brow, darker(looks.skin, 0.6), 0.6, 0.07)
    clip = _piece(canvas, _CAP_CROWN, team.main)
    _shade(canvas, team.main, 0.6, clip)
    canvas.soft(b.oval((-0.45, -1.1), 0.25, 0.1), lighter(team.main, 0.5), 0.45, 0.07, clip)
    _piece(canvas, _CAP_BAND, team.second)
    _peak(canvas, team)
    em = 0.42 * b.unit
    x, y = b.at(0.22 * b.turn, -0.98)
    base = (x, y + cap_height(em) / 2)
    write(canvas.picture, base, team.letters[0], Face(em, weight=0.05), team.trim, "m")


def _peak(canvas: Canvas, team: Team) -> None:
    b = canvas.bearing
    # It stands out towards the eye: its front edge moves farther with the turn than its root.
    shift = 0.35 * b.turn
    above = [(x + shift, y) for x, y in ((-0.74, -0.55), (0.0, -0.68), (0.74, -0.55))]
    below = [(x + shift * 1.4, y) for x, y in ((0.58, -0.36), (0.0, -0.27), (-0.58, -0.36))]
    peak = curve(b.line([*above, *below]))
    canvas.fill(peak, darker(team.main, 0.35))
    gleam = b.oval((-0.2 + shift, -0.5), 0.3, 0.05)
    canvas.soft(gleam, lighter(team.main, 0.45), 0.6, 0.04, canvas.stencil(peak))


def _headband(canvas: Canvas, team: Team) -> None:
    clip = _piece(canvas, _HEADBAND, team.second)
    stripe = canvas.bearing.limb([(-0.8, -0.52), (0.0, -0.65), (0.8, -0.52)], (0.06, 0.07, 0.06))
    canvas.soft(stripe, team.main, 1.0, 0.01, clip)
    _shade(canvas, team.second, 0.5, clip)
