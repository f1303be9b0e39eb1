"""A side of a card that is drawn: text in points at places in parts of the card."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path

from PIL import Image, ImageDraw, ImageFont

SIZE = (750, 1050)  # a card of 2.5 x 3.5 in at 300 dpi
POINT = 300 / 72

Colour = tuple[int, int, int]


@lru_cache(400)
def _font(path: Path, pixels: int) -> ImageFont.FreeTypeFont:
    return ImageFont.truetype(str(path), pixels)


@dataclass
class Paper:
    """A side that is drawn on."""

    ground: Colour
    ink: Colour
    size: tuple[int, int] = SIZE
    picture: Image.Image = field(init=False)

    def __post_init__(self) -> None:
        self.picture = Image.new("RGB", self.size, self.ground)
        self.draw = ImageDraw.Draw(self.picture)

    def text(
        self, font: Path, points: float, x: float, y: float, text: str,
        colour: Colour | None = None, anchor: str = "la", most: float = 1.0,
        rim: Colour | None = None,
    ) -> float:  # fmt: skip
        """A line of text, smaller where it is wider than `most` of the card; the height it took,
        as a part of the card's."""
        pixels = max(8, round(points * POINT))
        while pixels > 9 and _font(font, pixels).getlength(text) > most * self.size[0]:
            pixels -= 1
        at = (x * self.size[0], y * self.size[1])
        width, fill = (0, None) if rim is None else (max(1, pixels // 16), rim)
        self.draw.text(
            at, text, colour or self.ink, _font(font, pixels), anchor,
            stroke_width=width, stroke_fill=fill,
        )  # fmt: skip
        return 1.35 * pixels / self.size[1]

    def box(
        self, left: float, top: float, right: float, bottom: float, colour: Colour, round_: int = 0
    ) -> None:
        """A filled box."""
        wide, high = self.size
        corners = (left * wide, top * high, right * wide, bottom * high)
        self.draw.rounded_rectangle(corners, round_, colour)

    def disc(self, x: float, y: float, pixels: int, colour: Colour) -> None:
        """A filled disc."""
        cx, cy = x * self.size[0], y * self.size[1]
        self.draw.ellipse((cx - pixels, cy - pixels, cx + pixels, cy + pixels), colour)

    def upwards(
        self, font: Path, points: float, x: float, y: float, text: str, colour: Colour | None = None
    ) -> None:
        """A line that runs up."""
        face = _font(font, round(points * POINT))
        left, top, right, bottom = face.getbbox(text)
        piece = Image.new("L", (int(right - left) + 6, int(bottom - top) + 6))
        ImageDraw.Draw(piece).text((3 - left, 3 - top), text, 255, face)
        piece = piece.rotate(90, expand=True)
        at = (round(x * self.size[0]), round(y * self.size[1]))
        self.picture.paste(colour or self.ink, at, piece)

    def paste(self, picture: Image.Image, left: float, top: float) -> None:
        """A picture at a place."""
        self.picture.paste(picture, (round(left * self.size[0]), round(top * self.size[1])))


def lightness(colour: Colour) -> float:
    """0 to 255."""
    return 0.3 * colour[0] + 0.59 * colour[1] + 0.11 * colour[2]


def ink_on(ground: Colour) -> Colour:
    """A colour that is read on this one."""
    return (18, 18, 22) if lightness(ground) > 120 else (244, 242, 236)
