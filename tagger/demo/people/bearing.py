"""Where a head is on its picture and how it is held; the places of the whole figure go by it.

Affine: a place given in units (half the height of a head, from the middle of the face) is turned,
scaled and moved into the picture's pixels."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PIL import Image

from tagger.demo.art import brush

if TYPE_CHECKING:
    from tagger.demo.art.brush import Colour, Ink, Mask, Outline, Point


@dataclass(frozen=True)
class Bearing:
    """Where a head is on its picture and how it is held.

    ``x``, ``y`` and ``unit`` are pixels, ``turn`` is -1 (to the left) to 1, ``tilt`` is degrees.
    """

    x: float
    y: float
    unit: float
    turn: float = 0.0
    tilt: float = 0.0

    def at(self, x: float, y: float) -> Point:
        """The pixel of a place given in units."""
        lean = math.radians(self.tilt)
        across, down = (
            x * math.cos(lean) - y * math.sin(lean),
            x * math.sin(lean) + y * math.cos(lean),
        )
        return (self.x + across * self.unit, self.y + down * self.unit)

    def face(self, x: float, y: float) -> Point:
        """The pixel of a place on the face, moved with the turn of the head."""
        # A head is round: what lies across it draws together as the head turns away.
        return self.at(x * (1 - 0.12 * abs(self.turn)) + 0.2 * self.turn, y)

    # Outlines: given in units, made in pixels, as `tagger.demo.art.brush` paints them.

    def line(self, points: Sequence[Point]) -> list[Point]:
        """Several places, as they are."""
        return [self.at(x, y) for x, y in points]

    def curve(self, points: Sequence[Point], *, steps: int = 10) -> list[Point]:
        """A smooth closed line through them."""
        return brush.curve(self.line(points), steps=steps)

    def limb(self, points: Sequence[Point], widths: Sequence[float]) -> list[Point]:
        """A tapered band along them, as wide at each as ``widths`` says."""
        return brush.limb(self.line(points), self._lengths(widths))

    def oval(self, centre: Point, rx: float, ry: float) -> list[Point]:
        """An ellipse."""
        return brush.oval(self.at(*centre), rx * self.unit, ry * self.unit)

    def face_line(self, points: Sequence[Point]) -> list[Point]:
        """Places on the face, as they are."""
        return [self.face(x, y) for x, y in points]

    def face_limb(
        self, points: Sequence[Point], widths: Sequence[float], every: int = 0
    ) -> list[Point]:
        """A tapered band along places on the face; with ``every`` along each so-manieth point of
        the smooth line through them."""
        spine = self.face_line(points)
        if every:
            spine = brush.curve(spine, closed=False)[::every]
        return brush.limb(spine, self._lengths(widths))

    def face_oval(self, centre: Point, rx: float, ry: float) -> list[Point]:
        """An ellipse on the face."""
        return brush.oval(self.face(*centre), rx * self.unit, ry * self.unit)

    def _lengths(self, lengths: Sequence[float]) -> list[float]:
        return [length * self.unit for length in lengths]


@dataclass(frozen=True)
class Canvas:
    """An RGB picture with the bearing of the figure on it. Outlines are pixels, lengths units."""

    picture: Image.Image
    bearing: Bearing

    def fill(self, outline: Sequence[Point], colour: Ink) -> None:
        """Paint an outline."""
        brush.fill(self.picture, outline, colour)

    def soft(
        self, outline: Outline, colour: Colour, opacity: float, blur: float, clip: Mask = None
    ) -> None:
        """Paint an outline with blurred edges, inside the mask ``clip`` when given."""
        brush.soft(self.picture, outline, colour, opacity, blur * self.bearing.unit, clip)

    def stroke(self, points: Sequence[Point], colour: Ink, width: float) -> None:
        """Paint a line."""
        brush.stroke(self.picture, points, colour, width * self.bearing.unit)

    def stencil(self, outline: Sequence[Point]) -> Image.Image:
        """A mask of the picture's size, white inside the outline."""
        return brush.stencil(self.picture.size, outline)


def mirrored(half: Sequence[Point]) -> list[Point]:
    """An outline from its right half, which starts and ends on the middle line."""
    # What lies on the middle line is its own mirror image, and would stand there twice.
    return [*half, *[(-x, y) for x, y in reversed(half) if x != 0]]
