"""A card's side while it is drawn: places are pixels of the finished card, drawn twice as fine.

A card is 2.5 x 3.5 inches (63.5 x 88.9 mm), 750 x 1050 pixels at 300 dpi.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import replace
from typing import TypedDict, Unpack

from PIL import Image

from tagger.demo.art.brush import Colour, Ink, Mask, Outline, Point, fill, pen_for, soft, stroke
from tagger.demo.art.foil import stamp
from tagger.demo.art.letters import Face, narrowed, wrapped, write

DPI = 300
CARD_WIDTH, CARD_HEIGHT = 750, 1050
# Drawn pixels for each pixel of the card: shapes are drawn without smooth edges, which come from
# reducing the picture at the end.
FINE = 2
DRAWN = (CARD_WIDTH * FINE, CARD_HEIGHT * FINE)

Box = tuple[float, float, float, float]


class Style(TypedDict, total=False):
    """How a line is lettered, as for `Sheet.text`."""

    weight: float
    width: float
    slant: float
    tracking: float
    anchor: str
    room: float | None


def em_pixels(points: float) -> float:
    """The em in pixels of the card of lettering that is ``points`` points high."""
    return points * DPI / 72


def fine_size(box: Box) -> tuple[int, int]:
    """The width and height of a box of the card in pixels of the drawing."""
    return (round((box[2] - box[0]) * FINE), round((box[3] - box[1]) * FINE))


class Sheet:
    """A drawing of one side. Lengths and places are pixels of the finished card."""

    def __init__(self, ground: Colour | Image.Image) -> None:
        if isinstance(ground, Image.Image):
            self.picture = ground.copy()
        else:
            self.picture = Image.new("RGB", DRAWN, ground)

    def fine(self, points: Sequence[Point]) -> list[Point]:
        """Places of the card as pixels of the drawing."""
        return [(x * FINE, y * FINE) for x, y in points]

    def area(self, box: Box, colour: Ink, radius: float = 0.0) -> None:
        """Fill a box, its corners rounded."""
        pen = pen_for(self.picture, colour)
        pen.rounded_rectangle([v * FINE for v in box], radius=radius * FINE, fill=colour)

    def frame(self, box: Box, colour: Ink, width: float, radius: float = 0.0) -> None:
        """Draw a box's outline, the line inside the box."""
        pen = pen_for(self.picture, colour)
        corner = [v * FINE for v in box]
        pen.rounded_rectangle(
            corner, radius=radius * FINE, outline=colour, width=max(1, round(width * FINE))
        )

    def shape(self, points: Sequence[Point], colour: Ink) -> None:
        """Fill an outline."""
        fill(self.picture, self.fine(points), colour)

    def line(self, points: Sequence[Point], colour: Ink, width: float) -> None:
        """Draw a line."""
        stroke(self.picture, self.fine(points), colour, width * FINE)

    def shadow(
        self, points: Sequence[Point], opacity: float, blur: float, colour: Colour = (10, 10, 24)
    ) -> None:
        """Darken an outline softly."""
        self.soft(points, colour, opacity, blur)

    def soft(
        self, points: Outline, colour: Colour, opacity: float, blur: float, clip: Mask = None
    ) -> None:
        """Fill an outline with blurred edges, inside the mask ``clip``, as fine as the drawing."""
        soft(self.picture, self.fine(points), colour, opacity, blur * FINE, clip)

    def disc(self, centre: Point, radius: float, colour: Ink) -> None:
        """Fill a circle."""
        self.area(
            (centre[0] - radius, centre[1] - radius, centre[0] + radius, centre[1] + radius),
            colour,
            radius,
        )

    def put(self, picture: Image.Image, at: Point, mask: Image.Image | None = None) -> None:
        """Lay a picture, which is as fine as the drawing, with its left upper corner at ``at``."""
        self.picture.paste(picture, (round(at[0] * FINE), round(at[1] * FINE)), mask)

    def text(
        self, at: Point, text: str, size: float, colour: Ink, *, weight: float = 0.0,
        width: float = 1.0,
        slant: float = 0.0, tracking: float = 0.0, anchor: str = "l", room: float | None = None,
    ) -> tuple[int, int, int, int]:  # fmt: skip
        """Letter a line with its baseline at ``at``, squeezed into ``room``; gives the box of its
        ink."""
        face = Face(size * FINE, weight, width, slant, tracking)
        if room is not None:
            face = narrowed(text, face, room * FINE)
        box = write(self.picture, (at[0] * FINE, at[1] * FINE), text, face, colour, anchor)
        # Rounded outwards, so that no ink lies outside the box.
        return (box[0] // FINE, box[1] // FINE, -(-box[2] // FINE), -(-box[3] // FINE))

    def raised(
        self,
        at: Point,
        text: str,
        size: float,
        ink: Ink,
        shadow: Ink,
        drop: float,
        **style: Unpack[Style],
    ) -> None:
        """Letter a line over its own hard shadow, which lies ``drop`` to the right and below."""
        self.text((at[0] + drop, at[1] + drop), text, size, shadow, **style)
        self.text(at, text, size, ink, **style)

    def stamp(
        self, at: Point, text: str, face: Face, metal: Sequence[Colour], rng: random.Random
    ) -> None:
        """Press a line of foil into the card, its middle at ``at``; the face's size is in pixels of
        the card."""
        fine = replace(face, size=face.size * FINE)
        stamp(self.picture, (at[0] * FINE, at[1] * FINE), text, fine, metal, rng)

    def paragraph(
        self, at: Point, text: str | Sequence[str], size: float, colour: Ink, room: float,
        leading: float = 1.3,
        lines: int = 99,
    ) -> float:  # fmt: skip
        """Letter a text over lines of ``room`` pixels; gives the baseline below the last one.

        Of several sentences the last ones are left out where there would be more than ``lines``
        lines."""
        x, y = at
        sentences = [text] if isinstance(text, str) else list(text)
        # The most sentences that fit: a life that stops in the middle of one would look broken.
        broken = [
            wrapped(" ".join(sentences[:n]), Face(size * FINE), room * FINE)
            for n in range(len(sentences), 0, -1)
        ]
        for line in next((fitting for fitting in broken if len(fitting) <= lines), []):
            self.text((x, y), line, size, colour)
            y += size * leading
        return y

    def finished(self) -> Image.Image:
        """The side as an RGB picture of 750 x 1050 pixels."""
        return self.picture.reduce(FINE)
