"""Stickers: a picture with round corners on white or a colour, and the number in a corner, in a
ring or below the picture, in bold DejaVu faces."""

from __future__ import annotations

import random
from functools import lru_cache

from PIL import Image, ImageDraw, ImageFont

from support.backs.numbered import SIZE, NumberedSide, Print
from support.card_art import natural

_CLUBS = ("Harbor Gulls", "Sand Foxes", "Mill Otters", "Pine Herons", "Quarry Stoats")
_WHO = ("Ole", "Perrin", "Quill", "Rasmo", "Sib", "Tarn", "Ulva", "Wenz", "Yorre", "Zell")


@lru_cache(maxsize=64)
def _face(size: int) -> ImageFont.FreeTypeFont | ImageFont.ImageFont:
    try:
        return ImageFont.truetype("DejaVuSans-Bold.ttf", size)
    except OSError:
        return ImageFont.load_default(size)


def sticker(rng: random.Random) -> Print:
    """A design of this kind."""
    paper = rng.choice(((252, 252, 250), (250, 226, 90), (60, 140, 210), (240, 240, 236)))
    ink = (20, 30, 80) if sum(paper) > 450 else (250, 250, 250)
    where = rng.choice(("upper left", "upper right", "lower left", "lower right", "foot"))
    ring, size = rng.random() < 0.4, rng.randint(22, 38)
    edge, foot = rng.randint(34, 60), rng.randint(90, 160)
    named = rng.random() < 0.7

    def printing(number: str, own: random.Random) -> NumberedSide:
        side = Image.new("RGB", SIZE, paper)
        pen = ImageDraw.Draw(side)
        room = (750 - 2 * edge, 1050 - edge - foot)
        mask = Image.new("L", room, 0)
        ImageDraw.Draw(mask).rounded_rectangle((0, 0, room[0], room[1]), 40, fill=255)
        side.paste(natural(own, room, "tuning"), (edge, edge), mask)
        if named:
            who = f"{own.choice(_WHO)} {own.choice(_WHO)}".upper()
            pen.text((375, 1050 - foot + 28), who, ink, _face(34), "mm")
            if where != "foot":
                pen.text((375, 1050 - foot + 66), own.choice(_CLUBS), ink, _face(22), "mm")
        y = edge + size if where.startswith("upper") else 1050 - size - 14.0
        x = 375.0 if where == "foot" else edge + 40.0 if where.endswith("left") else 710.0 - edge
        wide = pen.textlength(number, _face(size)) / 2
        if ring or where.startswith("upper"):
            reach = wide + 12, size * 0.72
            pen.rounded_rectangle((x - reach[0], y - reach[1], x + reach[0], y + reach[1]), 14,
                                  fill=paper, outline=ink, width=3)  # fmt: skip
        pen.text((x, y), number, ink, _face(size), "mm")
        return NumberedSide(side, number, pen.textbbox((x, y), number, _face(size), "mm"))

    return printing
