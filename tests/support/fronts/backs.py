"""Backs of games and stickers: one picture on every card of a design."""

from __future__ import annotations

import random

from PIL import Image, ImageDraw, ImageFont

from support.backs.numbered import SIZE
from support.card_art import natural


def one_back(rng: random.Random) -> Image.Image:
    """The back of a design."""
    kind = rng.choice(("crest", "picture", "advice", "tiles"))
    ground = tuple(rng.randint(10, 240) for _ in range(3))
    ink = (250, 248, 240) if sum(ground) < 360 else (24, 20, 40)
    side = Image.new("RGB", SIZE, ground)
    pen = ImageDraw.Draw(side)
    if kind == "picture":
        side.paste(natural(rng, (670, 970), rng.choice(("tuning", "held"))), (40, 40))
    if kind == "tiles":
        for x in range(0, 750, 75):
            for y in range(0, 1050, 75):
                pen.ellipse((x + 12, y + 12, x + 60, y + 60), outline=ink, width=4)
    if kind in ("crest", "picture", "tiles"):
        pen.ellipse((150, 330, 600, 720), fill=ground, outline=ink, width=9)
        pen.text((375, 525), "TIDE WAR", ink, ImageFont.load_default(70), "mm")
        pen.text((375, 1022), "© 2019 Brine Works. All rights reserved.", ink,
                 ImageFont.load_default(18), "mm")  # fmt: skip
    else:
        for row in range(rng.randint(5, 16)):
            line = "Paste it into the album, 120 places, 24 pages, series 3"
            pen.text((60, 180 + 44 * row), line, ink, ImageFont.load_default(26))
        pen.text((375, 90), "HARBOR ALBUM 1994", ink, ImageFont.load_default(48), "mm")
    return side
