"""Backs of two colours with a drawing, a quiz and sentences, in slanted and narrow DejaVu faces:
the number at the head in the middle, in a triangle, in a ring or on a ribbon at the side."""

from __future__ import annotations

import random
import textwrap

from PIL import Image, ImageDraw, ImageFont

from support.backs.numbered import SIZE, Box, NumberedSide, Print

_SERIF = ("DejaVuSerif-BoldItalic.ttf", "DejaVuSerifCondensed-Bold.ttf", "DejaVuSerif.ttf")
_NARROW = ("DejaVuSansCondensed.ttf", "DejaVuSerifCondensed.ttf", "DejaVuSansMono.ttf")
_WHO = ("Ole", "Perrin", "Quill", "Rasmo", "Sib", "Tarn", "Ulva", "Wenz", "Yorre", "Zell")
_SAYS = (
    "Led the coast in hauls", "Raised on a lightship", "Plays the concertina", "Throws left",
    "Was the first to row both bays in 19 hours", "Keeps 3 goats", "Once mended 60 nets in a night",
    "His uncle built the pier", "Came from Sandwick for 2 mates and a boat",
)  # fmt: skip
_ASKED = ("Who holds the mark for tows?", "How long is a hawser?", "Which club has no harbor?")


def _face(name: str, size: int) -> ImageFont.FreeTypeFont | ImageFont.ImageFont:
    try:
        return ImageFont.truetype(name, size)
    except OSError:
        return ImageFont.load_default(size)


def stamped(rng: random.Random) -> Print:
    """A design of this kind."""
    tint = (rng.randint(120, 235), rng.randint(110, 225), rng.randint(90, 220))
    dark = (rng.randint(10, 70), rng.randint(10, 60), rng.randint(20, 90))
    night = rng.random() < 0.3
    ground, ink = (dark, tint) if night else (tint, dark)
    bold, narrow = rng.choice(_SERIF), rng.choice(_NARROW)
    size, body = rng.randint(24, 46), rng.randint(19, 25)
    where = rng.choice(("middle", "triangle", "ring", "ribbon", "under picture"))
    flipped, quiz, split = rng.random() < 0.5, rng.random() < 0.6, rng.randint(330, 480)

    def printing(number: str, own: random.Random) -> NumberedSide:
        side = Image.new("RGB", SIZE, ground)
        pen = ImageDraw.Draw(side)
        pen.rectangle((24, 24, 726, 1026), outline=ink, width=5)
        pen.rectangle((50, 150, 340, split), outline=ink, width=3)
        for _ in range(7):  # a drawing, another on each card
            points = [(own.randint(60, 330), own.randint(160, split - 10)) for _ in range(3)]
            pen.polygon(points, outline=ink, width=2)
        name = f"{own.choice(_WHO)} {own.choice(_WHO)}".upper()
        pen.text((365, 165), name, ink, _face(bold, 32))
        pen.text((365, 215), f"Gaffsman, born 19{own.randint(40, 79)}", ink, _face(narrow, body))
        told = textwrap.wrap(". ".join(own.sample(_SAYS, own.randint(3, 6))), 44)
        for row, line in enumerate(told):
            pen.text((58, split + 40 + row * body * 1.5), line, ink, _face(narrow, body))
        if quiz:
            pen.rectangle((58, 820, 560, 905), outline=ink, width=2)
            pen.text((70, 828), own.choice(_ASKED), ink, _face(narrow, 20))
            answer = Image.new("L", (300, 30), 0)
            ImageDraw.Draw(answer).text((0, 0), f"{own.choice(_WHO)}, {own.randint(2, 99)}", 255,
                                        _face(narrow, 18))  # fmt: skip
            side.paste(ink, (240, 868), answer.rotate(180))
        pen.text((375, 1004), "BRINE & SONS, LITHOGRAPHERS", ink, _face(narrow, 14), "mm")
        return NumberedSide(side, number, _number(pen, number))

    def _number(pen: ImageDraw.ImageDraw, number: str) -> Box:
        font = _face(bold, size)
        x, y, colour = 375.0, 90.0, ink
        wide = pen.textlength(number, font)
        if where == "triangle":
            reach = wide + 90
            x, y, colour = 690 - wide / 2, 1020 - size * 0.75, ground
            pen.polygon(((726, 1026), (726, 1026 - reach), (726 - reach * 1.4, 1026)), fill=ink)
        elif where == "ring":
            x, y = (110.0 if flipped else 640.0), 88.0
            reach = max(wide / 2 + 12, size * 0.8)
            pen.ellipse((x - reach, y - reach, x + reach, y + reach), outline=ink, width=4)
        elif where == "ribbon":
            x, y, colour = 640.0, 700.0, ground
            pen.rectangle((724 - wide - 110, y - size, 724, y + size), fill=ink)
        elif where == "under picture":
            x, y = 560.0, split - 24.0
        pen.text((x, y), number, colour, font, "mm")
        return pen.textbbox((x, y), number, font, "mm")

    return printing
