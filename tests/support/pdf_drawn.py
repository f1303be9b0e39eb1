"""The filled rectangles of a page of a PDF, drawn again."""

from __future__ import annotations

import re

import pypdf
from PIL import Image, ImageDraw

DOTS = 12  # a mm


def drawn(page: pypdf.PageObject, dots: int = DOTS) -> Image.Image:
    """The filled rectangles of a page, so many dots a mm, by the operators of ISO 32000 (8.5)
    themselves."""
    high = float(page.mediabox.height)
    scale = dots * 25.4 / 72
    made = Image.new("L", (round(float(page.mediabox.width) * scale), round(high * scale)), 255)
    draw = ImageDraw.Draw(made)
    for found in re.findall(
        rb"(-?[\d.]+) (-?[\d.]+) (-?[\d.]+) (-?[\d.]+) re\s+f", page.get_contents().get_data()
    ):
        x, y, wide, tall = map(float, found)
        top, low = sorted((high - y, high - y - tall))
        draw.rectangle(
            (round(x * scale), top * scale, round((x + wide) * scale) - 1, low * scale), 0
        )
    return made
