"""Hair, painted in soft shapes. Places are in the units of a `Bearing`."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from tagger.demo.art.brush import Colour, Point, darker, lighter, mix
from tagger.demo.people.bearing import Canvas, mirrored

if TYPE_CHECKING:
    from tagger.demo.people.faces import FaceFeatures

# What hangs behind the head, by style: the right half of its outline, from above to below.
_HANGING: dict[str, tuple[Point, ...]] = {
    "long": (
        (0.0, -1.12), (0.62, -0.98), (0.92, -0.3), (0.98, 0.6), (0.92, 1.5), (0.5, 1.75),
        (0.0, 1.7),
    ),
    "bob": ((0.0, -1.12), (0.64, -0.98), (0.95, -0.3), (1.0, 0.5), (0.72, 0.95), (0.0, 0.9)),
    "round": ((0.0, -1.5), (0.7, -1.35), (1.12, -0.75), (1.12, -0.1), (0.85, 0.35), (0.0, 0.3)),
}  # fmt: skip
# The lower edge of the hair above the brow, by style, from right to left.
_FRINGES: dict[str, tuple[Point, ...]] = {
    "cropped": (
        (0.72, -0.34), (0.6, -0.62), (0.2, -0.68), (-0.25, -0.66), (-0.62, -0.6), (-0.72, -0.34),
    ),
    "parted": (
        (0.72, -0.3), (0.62, -0.5), (0.3, -0.66), (-0.36, -0.86), (-0.6, -0.6), (-0.72, -0.3),
    ),
    "swept": (
        (0.74, -0.3), (0.66, -0.7), (0.1, -0.5), (-0.3, -0.46), (-0.64, -0.5), (-0.73, -0.3),
    ),
    "thin": (
        (0.74, -0.4), (0.64, -0.74), (0.3, -0.9), (-0.3, -0.92), (-0.62, -0.76), (-0.74, -0.4),
    ),
    "bob": (
        (0.72, -0.2), (0.66, -0.4), (0.2, -0.46), (-0.3, -0.46), (-0.64, -0.4), (-0.72, -0.2),
    ),
    "long": ((0.74, 0.1), (0.66, -0.4), (0.2, -0.84), (0.0, -0.88), (-0.5, -0.62), (-0.74, 0.1)),
}  # fmt: skip
_FRINGE: tuple[Point, ...] = (
    (0.74, -0.24), (0.6, -0.62), (0.2, -0.76), (-0.2, -0.78), (-0.6, -0.64), (-0.74, -0.24),
)  # fmt: skip
_FLAT = ("thin", "cropped")
_CURLED = ("curls", "round")


def draw_hair_behind(canvas: Canvas, looks: FaceFeatures) -> None:
    """Paint the hair that hangs behind a head; it goes below neck and shirt, so it is painted
    before them."""
    b, back = canvas.bearing, darker(looks.hair, 0.32)
    # Behind the head is farther from the eye, so it moves against the turn of the face.
    turn = b.turn * -0.1
    if half := _HANGING.get(looks.style):
        canvas.fill(b.curve([(x + turn, y) for x, y in mirrored(half)]), back)
    if tied := _TIED.get(looks.style):
        tied(canvas, looks.hair, back)


def _bun(canvas: Canvas, hair: Colour, back: Colour) -> None:
    b = canvas.bearing
    turn = b.turn * -0.1
    canvas.fill(b.oval((0.1 + turn, -1.28), 0.36, 0.32), back)
    canvas.soft(b.oval((turn, -1.36), 0.16, 0.1), lighter(hair, 0.25), 0.6, 0.06)


def _tail(canvas: Canvas, hair: Colour, back: Colour) -> None:
    b = canvas.bearing
    side = -1 if b.turn >= 0 else 1
    places = [(side * 0.45, -0.8), (side * 1.05, -0.5), (side * 1.12, 0.3), (side * 0.98, 1.1)]
    canvas.fill(b.limb(places, (0.3, 0.5, 0.42, 0.05)), back)


def _braids(canvas: Canvas, hair: Colour, back: Colour) -> None:
    # Strands that lie over and under each other are lighter and darker in turn.
    strands = (mix(back, hair, 0.7), back)
    for side in (-1, 1):
        for i in range(7):
            spot = (side * (0.72 + 0.04 * i), 0.2 + 0.24 * i)
            canvas.fill(canvas.bearing.oval(spot, 0.19 - 0.012 * i, 0.16), strands[i % 2])


_TIED: dict[str, Callable[[Canvas, Colour, Colour], None]] = {
    "bun": _bun,
    "tail": _tail,
    "braids": _braids,
}


def draw_hair(canvas: Canvas, looks: FaceFeatures, under_hat: bool, rng: random.Random) -> None:
    """Paint the hair above and beside a face; only the sides where a hat covers the rest."""
    # The light comes from the left, here as on every other part of the figure.
    _sideburn(canvas, -1, looks.hair)
    _sideburn(canvas, 1, darker(looks.hair, 0.25))
    if under_hat:
        return
    b = canvas.bearing
    outline = [*_crown(looks.style), *_FRINGES.get(looks.style, _FRINGE)]
    shape = b.curve([(x - 0.05 * b.turn, y) for x, y in outline], steps=8)
    canvas.fill(shape, looks.hair)
    if looks.style in _CURLED:
        _curls(canvas, looks.hair, rng)
    clip = canvas.stencil(shape)
    away = b.line([(0.35, -1.3), (0.95, -1.2), (0.95, 0.2), (0.6, 0.0), (0.55, -0.7)])
    canvas.soft(away, darker(looks.hair, 0.6), 0.55, 0.12, clip)
    shine = b.limb([(-0.6, -0.72), (-0.36, -0.96), (0.05, -1.02)], (0.04, 0.14, 0.04))
    canvas.soft(shine, lighter(looks.hair, 0.55), 0.55, 0.05, clip)


def _crown(style: str) -> Sequence[Point]:
    """The upper edge of the hair, from left to right."""
    top = -1.08 if style in _FLAT else -1.18
    return [
        (-0.81, -0.2), (-0.84, -0.6), (-0.55, -1.0), (0.0, top), (0.55, -1.0), (0.84, -0.6),
        (0.81, -0.2),
    ]  # fmt: skip


def _sideburn(canvas: Canvas, side: int, colour: Colour) -> None:
    b = canvas.bearing
    places = [
        (side * 0.66, -0.6), (side * 0.82, -0.5), (side * 0.79, 0.0), (side * 0.68, 0.06),
        (side * 0.66, -0.2),
    ]  # fmt: skip
    canvas.fill(b.curve([(x - 0.06 * b.turn, y) for x, y in places]), colour)


def _curls(canvas: Canvas, hair: Colour, rng: random.Random) -> None:
    for _ in range(26):
        spot = (rng.uniform(-0.68, 0.68), rng.uniform(-1.02, -0.7))
        tone = rng.choice((hair, lighter(hair, 0.12), darker(hair, 0.2)))
        canvas.fill(canvas.bearing.oval(spot, rng.uniform(0.1, 0.17), rng.uniform(0.1, 0.16)), tone)
