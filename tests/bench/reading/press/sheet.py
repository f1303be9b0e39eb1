"""A side of a card while it is drawn, at 360 dpi, and words on it in several ways."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from PIL import Image, ImageDraw, ImageFont

from bench.reading.press.pictures import Colour
from bench.reading.press.typefaces import face

WIDE, HIGH = 900, 1260
WHITE, BLACK = (252, 251, 247), (14, 14, 18)


def ink_for(ground: Colour) -> Colour:
    """What is read on a ground."""
    return BLACK if sum(ground) > 390 else WHITE


def fitted(text: str, path: Path, pixels: int, wide: float) -> ImageFont.FreeTypeFont:
    """A font so large that a text is at most so wide."""
    size = pixels
    while size > 18 and face(path, size).getlength(text) > wide:
        size -= 2
    return face(path, size)


def spaced(
    draw: ImageDraw.ImageDraw,
    at: tuple[float, float],
    text: str,
    font: ImageFont.FreeTypeFont,
    fill: Colour,
    gap: float,
) -> None:
    """Write with space between the letters, from the left, in the middle of the height."""
    x = at[0]
    for char in text:
        draw.text((x, at[1]), char, font=font, fill=fill, anchor="lm")
        x += font.getlength(char) + gap


def slanted(
    side: Image.Image,
    at: tuple[float, float],
    text: str,
    font: ImageFont.FreeTypeFont,
    fill: Colour,
    ground: Colour | None,
    turn: float,
    **how: Any,
) -> None:
    """Write turned counter-clockwise by degrees about the middle, on a band or on nothing."""
    wide, high = int(font.getlength(text)) + 60, int(font.size * 1.5)
    if ground is not None:
        wide = int(max(wide, how.pop("band", wide)))
    patch = Image.new("RGBA", (wide, high), (*ground, 255) if ground else (*fill, 0))
    ImageDraw.Draw(patch).text(
        (wide / 2, high / 2), text, font=font, fill=(*fill, 255), anchor="mm", **how
    )
    patch = patch.rotate(turn, Image.Resampling.BICUBIC, expand=True)
    side.paste(patch, (round(at[0] - patch.width / 2), round(at[1] - patch.height / 2)), patch)


def paragraph(
    draw: ImageDraw.ImageDraw,
    at: tuple[float, float],
    text: str,
    font: ImageFont.FreeTypeFont,
    fill: Colour,
    wide: float,
    lines: int,
) -> float:
    """Write a paragraph; the place below it."""
    x, y = at
    line, left = "", text.split()
    for _ in range(lines):
        while left and font.getlength(f"{line} {left[0]}") < wide:
            line = f"{line} {left.pop(0)}".strip()
        draw.text((x, y), line, font=font, fill=fill)
        y, line = y + font.size * 1.22, ""
        if not left:
            break
    return y
