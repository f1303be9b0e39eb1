"""Fronts with a photo up to the edge or in a border, and a plate at the foot that bears the name
and the number, in Pillow's own lettering."""

from __future__ import annotations

import random
from functools import lru_cache

from PIL import Image, ImageDraw, ImageFont

from support.backs.numbered import SIZE, NumberedSide, Print
from support.card_art import natural

_FIRST = ("Ada", "Bo", "Cyr", "Dela", "Edo", "Fenn", "Gil", "Hana", "Ivo", "Jun", "Kit", "Lio")
_LAST = ("Marsh", "Lunden", "Torwick", "Belova", "Kasell", "Renby", "Vosstad", "Holmann", "Pelolm")
_SCENES = ("The ferry sinks", "Storm at the pier", "A rope breaks", "Night tow", "Home again")


@lru_cache(maxsize=64)
def _font(size: int) -> ImageFont.FreeTypeFont | ImageFont.ImageFont:
    return ImageFont.load_default(size)


def plated(rng: random.Random) -> Print:
    """A design of this kind."""
    border, edge = rng.choice(((250, 250, 246), (20, 20, 22), (190, 40, 40))), rng.choice((0, 30))
    plate = tuple(rng.randint(10, 245) for _ in range(3))
    ink = (15, 15, 18) if sum(plate) > 380 else (250, 250, 246)
    high, lift = rng.randint(80, 150), rng.choice((0, 0, 34))
    where = rng.choice(("left", "right", "middle", "ends right"))
    size, name_size = rng.randint(22, 34), rng.randint(34, 46)
    mark, scenes = rng.choice(("", "", "#", "No. ")), rng.random() < 0.5
    brand = rng.choice(("HARBOR STUDIO", "PIER PICTURES", ""))

    def printing(number: str, own: random.Random) -> NumberedSide:
        side = Image.new("RGB", SIZE, border)
        room = (750 - 2 * edge, 1050 - 2 * edge)
        side.paste(natural(own, room, "tuning"), (edge, edge))
        pen = ImageDraw.Draw(side)
        lower = 1050 - edge - lift
        pen.rectangle((edge, lower - high, 750 - edge, lower), fill=plate)
        name = own.choice(_SCENES) if scenes else f"{own.choice(_FIRST)} {own.choice(_LAST)}"
        if brand:
            pen.text((750 - edge - 20, edge + 18), brand, (250, 250, 246), _font(24), "ra",
                     stroke_width=2, stroke_fill=(20, 20, 20))  # fmt: skip
        middle = lower - high / 2
        if where == "middle":
            pen.text((375, middle - high * 0.18), name, ink, _font(name_size), "mm")
            at, anchor = (375.0, lower - size * 0.7), "mm"
        else:
            left = where == "left"
            pen.text((720 - edge if left else edge + 30, middle), name, ink, _font(name_size),
                     "rm" if left else "lm")  # fmt: skip
            line = lower - size * 0.7 if where == "ends right" else middle
            at, anchor = (edge + 26.0 if left else 724.0 - edge, line), "lm" if left else "rm"
        text = mark + number
        pen.text(at, text, ink, _font(size), anchor)
        return NumberedSide(side, number, pen.textbbox(at, text, _font(size), anchor))

    return printing
