"""Backs with paragraphs about the player, in Pillow's own lettering: the number in a corner, in a
disc or beside a rule, dark on paper or light on a colour."""

from __future__ import annotations

import random
from functools import lru_cache

from PIL import Image, ImageDraw, ImageFont

from support.backs.numbered import SIZE, Colour, NumberedSide, Print

_FIRST = ("Ada", "Bo", "Cyr", "Dela", "Edo", "Fenn", "Gil", "Hana", "Ivo", "Jun", "Kit", "Lio")
_LAST = ("Marsh", "Lunden", "Torwick", "Belova", "Kasell", "Renby", "Vosstad", "Holmann", "Pelolm")
_TOLD = (
    "the harbor gulls took him from the quay in spring and he hauled more buoys than any keeper "
    "before him while his brother mended nets at home until a storm in 1987 sank the old ferry "
    "for 3 seasons he won 41 tows and lost 12 of them by a rope that broke"
)
_WORDS = _TOLD.split()
_CORNERS = ((0.1, 0.075), (0.9, 0.075), (0.1, 0.93), (0.9, 0.93), (0.5, 0.945))


@lru_cache(maxsize=64)
def _font(size: int) -> ImageFont.FreeTypeFont | ImageFont.ImageFont:
    return ImageFont.load_default(size)


def _dark(rng: random.Random) -> Colour:
    return rng.randint(0, 80), rng.randint(0, 80), rng.randint(0, 100)


def _light(rng: random.Random) -> Colour:
    return rng.randint(215, 252), rng.randint(210, 248), rng.randint(190, 240)


def written(rng: random.Random) -> Print:
    """A design of this kind."""
    paper, ink, strong = _light(rng), _dark(rng), _dark(rng)
    edge = rng.choice((paper, strong))
    corner, shape = rng.choice(_CORNERS), rng.choice(("bare", "disc", "box", "bare"))
    size, body = rng.randint(24, 48), rng.randint(21, 27)
    mark = rng.choice(("", "", "", "#", "No. "))
    lines, lead = rng.randint(7, 18), rng.uniform(1.3, 1.6)
    top, left = rng.randint(210, 300), rng.choice((64, 90))
    name_size, centred = rng.randint(38, 60), rng.random() < 0.5
    year = rng.randint(1970, 2008)

    def printing(number: str, own: random.Random) -> NumberedSide:
        side = Image.new("RGB", SIZE, edge)
        pen = ImageDraw.Draw(side)
        pen.rounded_rectangle((30, 30, 720, 1020), 24, fill=paper)
        name = f"{own.choice(_FIRST)} {own.choice(_LAST)}".upper()
        across = 375 if centred else left + 110
        pen.text((across, 130), name, ink, _font(name_size), "mm" if centred else "lm")
        pen.text(
            (across, 130 + name_size), own.choice(("Keeper", "Stoker", "Mate")) + " · Gulls",
            strong, _font(body), "mm" if centred else "lm",
        )  # fmt: skip
        y = float(top)
        for _ in range(lines):
            line = ""
            while pen.textlength(line, _font(body)) < 690 - left - 90:
                line += own.choice(_WORDS) + " "
            pen.text((left, y), line, ink, _font(body))
            y += body * lead
            if y > 880:
                break
        pen.text((375, 985), f"© {year} PIER PRINTING, LOW NESS", strong, _font(16), "mm")
        return _numbered(side, pen, number)

    def _numbered(side: Image.Image, pen: ImageDraw.ImageDraw, number: str) -> NumberedSide:
        x, y = corner[0] * SIZE[0], corner[1] * SIZE[1] - (28 if corner[1] > 0.5 else 0)
        font = _font(size)
        whole = pen.textbbox((x, y), mark + number, font, "mm")
        # a long number in a corner still lies on the card
        x += max(0, 48 - whole[0]) - max(0, whole[2] - 702)
        reach = max(whole[2] - whole[0], whole[3] - whole[1]) / 2 + 14
        if shape == "disc":
            pen.ellipse((x - reach, y - reach, x + reach, y + reach), fill=strong)
        elif shape == "box":
            pen.rectangle((x - reach, y - size * 0.6, x + reach, y + size * 0.6), fill=strong)
        pen.text((x, y), mark + number, ink if shape == "bare" else paper, font, "mm")
        box = pen.textbbox((x, y), mark + number, font, "mm")
        start = box[2] - pen.textlength(number, font)
        return NumberedSide(side, number, (start, box[1], box[2], box[3]))

    return printing
