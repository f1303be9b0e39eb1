"""Fronts of a game with a column of values at the left, a drawn figure of flat colours, a title at
the foot, and the number as a code in some corner, in DejaVu Sans Mono and light faces."""

from __future__ import annotations

import random
from functools import lru_cache

from PIL import Image, ImageDraw, ImageFont

from support.backs.numbered import SIZE, NumberedSide, Print

_NAMES = ("Ossip", "Marn", "Tyle", "Dunk", "Vell", "Pirra", "Sote", "Quen", "Habb", "Lorn")


@lru_cache(maxsize=64)
def _face(name: str, size: int) -> ImageFont.FreeTypeFont | ImageFont.ImageFont:
    try:
        return ImageFont.truetype(f"DejaVuSans{name}.ttf", size)
    except OSError:
        return ImageFont.load_default(size)


def columned(rng: random.Random) -> Print:
    """A design of this kind."""
    ground = tuple(rng.randint(120, 240) for _ in range(3))
    ink = tuple(rng.randint(0, 70) for _ in range(3))
    corner = rng.choice(((36, 1030, "ls"), (716, 1030, "rs"), (716, 52, "rs"), (375, 1034, "ms")))
    face, size = rng.choice(("Mono", "-Bold", "")), rng.randint(18, 28)
    form = rng.choice(("{0:03}", "{1}{0:03}", "{0:02}-{1}", "{0}/{2}"))
    letters, total = rng.choice(("KX", "B", "SEA")), rng.randint(40, 200)
    values = [rng.choice(("HP", "ATK", "DEF", "SPD", "SEA", "LV")) for _ in range(4)]
    legal = rng.random() < 0.7

    def printing(number: str, own: random.Random) -> NumberedSide:
        side = Image.new("RGB", SIZE, ground)
        pen = ImageDraw.Draw(side)
        for _ in range(own.randint(14, 40)):
            x, y, reach = own.randint(150, 700), own.randint(90, 830), own.randint(10, 150)
            fill = tuple(own.randint(0, 255) for _ in range(3))
            shape = own.choice((pen.ellipse, pen.rectangle, pen.rounded_rectangle))
            shape((x - reach, y - reach, x + reach, y + reach * own.uniform(0.3, 1)), fill=fill)
        pen.rectangle((0, 0, 750, 70), fill=ground)
        pen.rectangle((0, 0, 130, 1050), fill=ground, outline=ink, width=2)
        for row, value in enumerate(values):
            pen.text((66, 190 + 130 * row), value, ink, _face("", 22), "mm")
            pen.text((66, 228 + 130 * row), str(own.randint(1, 99)), ink, _face("-Bold", 40), "mm")
        pen.rectangle((0, 860, 750, 1050), fill=ground)
        name = f"{own.choice(_NAMES)} {own.choice(_NAMES)}"
        pen.text((160, 890), name, ink, _face("-Bold", 46))
        pen.text((160, 950), f"{own.choice(_NAMES)} clan, rank {own.randint(1, 9)}", ink,
                 _face("", 24))  # fmt: skip
        text = form.format(int("".join(filter(str.isdigit, number)) or 1), letters, total)
        at, anchor = corner[:2], corner[2]
        pen.text(at, text, ink, _face(face, size), anchor)
        if legal:
            far = (716, 1030, "rs") if anchor == "ls" else (160, 1006, "ls")
            pen.text(far[:2], "PRINTED AT SANDWICK", ink, _face("", 15), far[2])
        return NumberedSide(side, number, pen.textbbox(at, text, _face(face, size), anchor))

    return printing
