"""Fronts of a game with art up to the edge and rules written over it; the number is small print
with an outline or on a strip, in a lower corner. In Pillow's own lettering."""

from __future__ import annotations

import random
import textwrap
from functools import lru_cache

from PIL import ImageDraw, ImageFilter, ImageFont

from support.backs.numbered import SIZE, NumberedSide, Print
from support.card_art import natural

_NAMES = ("Brine", "Tallow", "Cutter", "Sandwick", "Gale", "Lamp", "Hawser", "Cobble", "Drift")
_RULES = (
    "Move one energy to the bench", "This attack does 30 to each of 2 others", "Sleep for a turn",
    "Search the deck for a tide card", "Heal 40", "May be played once in a game only",
)  # fmt: skip


@lru_cache(maxsize=64)
def _font(size: int) -> ImageFont.FreeTypeFont | ImageFont.ImageFont:
    return ImageFont.load_default(size)


def full_art(rng: random.Random) -> Print:
    """A design of this kind."""
    size, total = rng.randint(19, 27), rng.randint(60, 240)
    left, strip = rng.random() < 0.65, rng.choice(("none", "shade", "strip"))
    form = rng.choice(("{0:03}/{1:03}", "{0:03}/{1:03} RR", "OP{2:02}-{0:03}", "{0}/{1}"))
    album, year = rng.randint(1, 12), rng.randint(2005, 2024)
    dark = rng.random() < 0.7
    ink, rim = ((252, 252, 250), (10, 10, 14)) if dark else ((12, 12, 16), (250, 250, 246))
    foot = rng.randint(14, 40)
    copied = rng.random() < 0.8

    def printing(number: str, own: random.Random) -> NumberedSide:
        side = natural(own, SIZE, "held").filter(ImageFilter.GaussianBlur(own.choice((0, 0, 2))))
        pen = ImageDraw.Draw(side, "RGBA")
        if strip == "shade":
            for row in range(200):
                pen.line((0, 850 + row, 750, 850 + row), (*rim, int(row * 0.9)))
        elif strip == "strip":
            pen.rectangle((0, 1050 - foot - size * 1.4, 750, 1050), (*rim, 255))

        def write(at: tuple[float, float], text: str, of: int, anchor: str, around: int) -> None:
            pen.text(at, text, ink, _font(of), anchor, stroke_width=around, stroke_fill=rim)

        write((40, 34), f"{own.choice(_NAMES)} {own.choice(_NAMES)}", 52, "la", 3)
        write((712, 40), f"{own.randint(4, 34)}0", 44, "ra", 3)
        y = own.randint(600, 700)
        for _ in range(own.randint(1, 2)):
            write((44, y), own.choice(_NAMES), 36, "la", 2)
            write((706, y), f"{own.randint(1, 28)}0", 38, "ra", 2)
            for row, line in enumerate(textwrap.wrap(". ".join(own.sample(_RULES, 2)), 46)):
                write((44, y + 46 + 30 * row), line, 24, "la", 2)
            y += 140
        figures = int("".join(filter(str.isdigit, number)) or 1)
        text = form.format(figures, total, album)
        at = (34.0 if left else 716.0, 1050.0 - foot)
        around = 2 if strip == "none" else 0
        write(at, text, size, "ls" if left else "rs", around)
        box = pen.textbbox(at, text, _font(size), "ls" if left else "rs")
        if copied:
            told = f"Illus. {own.choice(_NAMES)}   ©{year} Brine Works"
            write((750 - at[0], at[1]), told, max(15, size - 5), "rs" if left else "ls", around)
        return NumberedSide(side.convert("RGB"), number, box)

    return printing
