"""A head: face, hair, beard and hat, painted in soft shapes. Places are in the units of a
`Bearing`."""

from __future__ import annotations

import random
from typing import TYPE_CHECKING

from PIL import Image

from tagger.demo.art.brush import Colour, Point, curve, darker, lighter, mix, oval
from tagger.demo.people.beards import draw_beard, draw_moustache
from tagger.demo.people.bearing import Canvas, mirrored
from tagger.demo.people.hair import draw_hair
from tagger.demo.people.hats import draw_glasses, draw_hat

if TYPE_CHECKING:
    from tagger.demo.people.clubs import Team
    from tagger.demo.people.faces import FaceFeatures

_BROW = ((0.15, -0.27), (0.32, -0.345), (0.5, -0.25))
_NOSE = ((0.04, -0.16), (0.1, 0.1), (0.17, 0.26), (0.1, 0.33), (0.02, 0.3))
_NOSTRILS = ((-0.15, 0.28), (-0.08, 0.335), (0.0, 0.31), (0.08, 0.335), (0.15, 0.28))
_EYE_WHITE = (
    (-0.15, 0.01), (-0.06, -0.06), (0.05, -0.065), (0.15, 0.0), (0.06, 0.05), (-0.06, 0.055),
)  # fmt: skip
_LID = ((-0.165, 0.02), (-0.06, -0.072), (0.05, -0.078), (0.17, 0.0))


def draw_head(
    canvas: Canvas, looks: FaceFeatures, team: Team, hat: str, rng: random.Random
) -> None:
    """Paint a head on an RGB picture. ``hat`` is "", "knit", "peak" or "band"."""
    # The ear away from the light is the darker one.
    _ear(canvas, looks.skin, -1, 0.08)
    _ear(canvas, looks.skin, 1, 0.25)
    skull = _skull(looks, canvas)
    canvas.fill(skull, looks.skin)
    clip = canvas.stencil(skull)
    _face_light(canvas, looks.skin, clip)
    draw_beard(canvas, looks, clip)
    _features(canvas, looks, rng)
    draw_moustache(canvas, looks)
    # A headband covers no hair; a cap covers all but what is beside the face.
    draw_hair(canvas, looks, hat in ("knit", "peak"), rng)
    if looks.glasses:
        draw_glasses(canvas)
    draw_hat(canvas, team, looks, hat)


def _ear(canvas: Canvas, skin: Colour, side: int, shade: float) -> None:
    b = canvas.bearing
    # Ears sit behind the face, so they move against its turn.
    turn = b.turn * 0.16
    ear = [(side * 0.72, -0.16), (side * 0.88, -0.2), (side * 0.88, 0.08), (side * 0.72, 0.22)]
    canvas.fill(b.curve([(x - turn, y) for x, y in ear]), darker(skin, shade))
    canvas.soft(b.oval((side * 0.79 - turn, 0.0), 0.05, 0.1), darker(skin, 0.5), 0.6, 0.04)


def _skull(looks: FaceFeatures, canvas: Canvas) -> list[Point]:
    jaw, wide, turn = looks.jaw, looks.breadth, canvas.bearing.turn
    half = [(0.0, -1.0), (0.44, -0.92), (0.7, -0.58), (0.745, -0.12), (0.7, 0.28)]
    half += [(0.56 * jaw, 0.66), (0.3 * jaw, 0.93), (0.0, 1.0)]
    moved = [(x * wide + turn * 0.09 * max(0.0, y), y) for x, y in mirrored(half)]
    return canvas.bearing.curve(moved)


def _face_light(canvas: Canvas, skin: Colour, clip: Image.Image) -> None:
    """What makes a face round: shadow at its right, under the chin and under the hair, light on
    forehead and cheek, and a blush."""
    b = canvas.bearing
    # Skin in shadow is redder, not only darker: the blood in it takes the blue of the light.
    shade = mix(darker(skin, 0.42), (120, 40, 40), 0.16)
    side = [
        (0.5, -1.1), (0.36, -0.3), (0.46, 0.2), (0.28, 0.7), (0.1, 1.1), (1.1, 1.1), (1.1, -1.1),
    ]  # fmt: skip
    chin = [(-0.6, 0.92), (0.0, 0.8), (0.6, 0.92), (0.6, 1.2), (-0.6, 1.2)]
    under_hair = [(-0.9, -1.1), (0.9, -1.1), (0.75, -0.55), (-0.75, -0.55)]
    canvas.soft(b.line([(x + 0.1 * b.turn, y) for x, y in side]), shade, 0.66, 0.12, clip)
    canvas.soft(b.line(chin), shade, 0.55, 0.09, clip)
    canvas.soft(b.line(under_hair), shade, 0.4, 0.12, clip)
    canvas.soft(b.face_oval((-0.28, -0.42), 0.28, 0.15), lighter(skin, 0.55), 0.5, 0.1, clip)
    canvas.soft(b.face_oval((-0.42, 0.22), 0.16, 0.14), lighter(skin, 0.45), 0.45, 0.08, clip)
    blush = mix(skin, (206, 70, 60), 0.42)
    for x in (-0.42, 0.42):
        canvas.soft(b.face_oval((x, 0.34), 0.18, 0.15), blush, 0.5, 0.09, clip)
        canvas.soft(b.face_oval((x * 0.74, -0.1), 0.2, 0.11), shade, 0.5, 0.06, clip)


def _features(canvas: Canvas, looks: FaceFeatures, rng: random.Random) -> None:
    for side in (-1, 1):
        _eye(canvas, looks, side)
        weight = 0.075 * looks.brow
        brow = canvas.bearing.face_limb(
            [(side * x, y) for x, y in _BROW], (weight, weight, weight * 0.3)
        )
        canvas.fill(brow, darker(looks.hair, 0.2))
    _nose(canvas, looks.skin)
    if rng.random() < 0.5:
        _smile(canvas, looks)
    else:
        _closed_mouth(canvas, looks)
    below = canvas.bearing.face_oval((0.0, 0.8), 0.14, 0.035)
    canvas.soft(below, darker(looks.skin, 0.4), 0.5, 0.03)


def _nose(canvas: Canvas, skin: Colour) -> None:
    b = canvas.bearing
    # It stands out of the face and moves with the turn beyond it.
    side = b.face_line([(x + 0.04 * b.turn, y) for x, y in _NOSE])
    canvas.soft(side, darker(skin, 0.4), 0.62, 0.035)
    tip = b.face_oval((-0.03 + 0.05 * b.turn, 0.22), 0.05, 0.06)
    canvas.soft(tip, lighter(skin, 0.6), 0.65, 0.03)
    under = [(x + 0.05 * b.turn, y) for x, y in _NOSTRILS]
    canvas.fill(b.face_limb(under, (0.02, 0.045, 0.02), every=1), darker(skin, 0.55))


def _eye(canvas: Canvas, looks: FaceFeatures, side: int) -> None:
    b, u = canvas.bearing, canvas.bearing.unit
    x0, y0 = side * 0.305, -0.09
    shape = curve(b.face_line([(x0 + x, y0 + y) for x, y in _EYE_WHITE]), steps=6)
    canvas.fill(shape, (240, 234, 226))
    clip = canvas.stencil(shape)
    # Both eyes look where the head turns.
    middle = b.face(x0 + 0.05 * b.turn, y0 - 0.008)
    canvas.soft(oval(middle, 0.075 * u, 0.075 * u), looks.eyes, 1.0, 0.012, clip)
    canvas.soft(oval(middle, 0.036 * u, 0.036 * u), (14, 10, 12), 1.0, 0.008, clip)
    glint = (middle[0] - 0.028 * u, middle[1] - 0.03 * u)
    canvas.fill(oval(glint, 0.017 * u, 0.017 * u), (255, 255, 255))
    lid = b.face_limb([(x0 + x, y0 + y) for x, y in _LID], (0.022, 0.045, 0.03), every=3)
    canvas.fill(lid, darker(looks.skin, 0.8))


def _smile(canvas: Canvas, looks: FaceFeatures) -> None:
    """An open mouth with its teeth."""
    b, w = canvas.bearing, 0.27 * looks.mouth
    teeth = [
        (-w, 0.52), (0.0, 0.57), (w, 0.52), (w * 0.55, 0.67), (0.0, 0.71), (-w * 0.55, 0.67),
    ]  # fmt: skip
    canvas.fill(curve(b.face_line(teeth), steps=6), (246, 240, 230))
    lower = [(-w, 0.52), (-w * 0.5, 0.68), (0.0, 0.725), (w * 0.5, 0.68), (w, 0.52)]
    canvas.fill(b.face_limb(lower, (0.02, 0.07, 0.02), every=4), _lips(looks.skin))
    _upper_lip(canvas, looks.skin, w, 0.52)


def _closed_mouth(canvas: Canvas, looks: FaceFeatures) -> None:
    b, w = canvas.bearing, 0.27 * looks.mouth
    places = [(-w * 0.75, 0.585), (0.0, 0.645), (w * 0.75, 0.585)]
    lower = b.face_limb(places, (0.02, 0.1, 0.02))
    canvas.fill(lower, _lips(looks.skin))
    _upper_lip(canvas, looks.skin, w, 0.555)


def _upper_lip(canvas: Canvas, skin: Colour, w: float, lift: float) -> None:
    upper = [
        (-w * 1.08, lift - 0.01), (-w * 0.4, lift + 0.035), (0.0, lift + 0.045),
        (w * 0.4, lift + 0.035), (w * 1.08, lift - 0.01),
    ]  # fmt: skip
    shape = canvas.bearing.face_limb(upper, (0.025, 0.055, 0.025), every=4)
    # The upper lip faces down, away from the light.
    canvas.fill(shape, mix(darker(skin, 0.68), _lips(skin), 0.25))


def _lips(skin: Colour) -> Colour:
    return mix(skin, (158, 52, 56), 0.5)
