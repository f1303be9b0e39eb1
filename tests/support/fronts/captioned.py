"""Fronts of pictures with a caption below, no player and no game: the number at the foot, in an
upper corner or behind the caption, in serif faces on paper or on a colour."""

from __future__ import annotations

import random
from functools import lru_cache

from PIL import Image, ImageDraw, ImageFont, ImageOps

from support.backs.numbered import SIZE, NumberedSide, Print
from support.card_art import natural

_WHAT = ("Lightship", "Trawler", "Breakwater", "Fog horn", "Diving bell", "Salt pan", "Slipway")
_DOES = ("in a gale", "at low water", "of the old port", "by night", "under repair", "at rest")


@lru_cache(maxsize=64)
def _face(name: str, size: int) -> ImageFont.FreeTypeFont | ImageFont.ImageFont:
    try:
        return ImageFont.truetype(f"DejaVuSerif{name}.ttf", size)
    except OSError:
        return ImageFont.load_default(size)


def captioned(rng: random.Random) -> Print:
    """A design of this kind."""
    paper = tuple(rng.randint(190, 250) for _ in range(3))
    ink = tuple(rng.randint(0, 90) for _ in range(3))
    if rng.random() < 0.3:
        paper, ink = ink, paper
    kind, bold = rng.choice(("", "Condensed")), rng.choice(("-Bold", ""))
    where = rng.choice(("foot", "right of caption", "upper right", "upper left", "lower right"))
    size, body = rng.randint(20, 36), rng.randint(28, 42)
    edge, grey = rng.randint(40, 70), rng.random() < 0.4
    mark = rng.choice(("", "", "No. ", "- {} -"))
    series = rng.choice(("SHIPS OF THE BAY", "PORTS AND PIERS", ""))

    def printing(number: str, own: random.Random) -> NumberedSide:
        side = Image.new("RGB", SIZE, paper)
        pen = ImageDraw.Draw(side)
        top = edge + (46 if where.startswith("upper") or series else 0)
        art = natural(own, (750 - 2 * edge, 870 - top), "held")
        side.paste(ImageOps.grayscale(art).convert("RGB") if grey else art, (edge, top))
        pen.rectangle((edge, top, 750 - edge, 870), outline=ink, width=3)
        if series:
            pen.text((375, top - 26), series, ink, _face(kind, 22), "mm")
        caption = f"{own.choice(_WHAT)} {own.choice(_DOES)}"
        beside = where == "right of caption"
        spot = (edge + 4, 915) if beside else (375, 915)
        pen.text(spot, caption, ink, _face(kind + bold, body), "lm" if beside else "mm")
        text = mark.format(number) if "{}" in mark else mark + number
        x, y, anchor = {
            "foot": (375, 1050 - edge, "mm"), "right of caption": (750 - edge, 915, "rm"),
            "upper right": (750 - edge, top - 24, "rm"), "upper left": (edge, top - 24, "lm"),
            "lower right": (750 - edge, 1050 - edge, "rm"),
        }[where]  # fmt: skip
        pen.text((x, y), text, ink, _face(kind + bold, size), anchor)
        return NumberedSide(
            side, number, pen.textbbox((x, y), text, _face(kind + bold, size), anchor)
        )

    return printing
