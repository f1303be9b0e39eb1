"""Fronts of a game: art in a frame, a box of text, values that differ from card to card, and the
number in small print below the box, in narrow DejaVu faces."""

from __future__ import annotations

import random
import textwrap
from functools import lru_cache

from PIL import Image, ImageDraw, ImageFont

from support.backs.numbered import SIZE, NumberedSide, Print
from support.card_art import natural

_NAMES = ("Gull", "Otter", "Stoker", "Beacon", "Eel", "Skiff", "Kelp", "Heron", "Mast", "Net")
_KINDS = ("Warden", "Lurker", "Elder", "Spirit", "Runner", "Titan", "Keeper")
_RULES = (
    "When this card enters, draw a card and haul 2 buoys.", "Tap: 3 damage to a ship in port.",
    "Costs 1 less for each rope you hold.", "Flip a coin. If heads, it does 20 more.",
    "Your other keepers get +1.", "Discard 2 cards: return it to your hand.",
)  # fmt: skip
_SIGNS = ("●", "◆", "★", "C", "U", "R")


@lru_cache(maxsize=64)
def _face(size: int, bold: bool = False) -> ImageFont.FreeTypeFont | ImageFont.ImageFont:
    try:
        name = f"DejaVuSansCondensed{'-Bold' if bold else ''}.ttf"
        return ImageFont.truetype(name, size)
    except OSError:
        return ImageFont.load_default(size)


def framed(rng: random.Random) -> Print:
    """A design of this kind."""
    frames = [tuple(rng.randint(40, 220) for _ in range(3)) for _ in range(rng.choice((1, 3, 5)))]
    border = rng.choice(((18, 18, 20), (238, 236, 230), (225, 190, 60)))
    split, size, total = rng.randint(520, 620), rng.randint(18, 27), rng.randint(80, 260)
    where, on_border = rng.choice(("left", "right", "left", "middle")), rng.random() < 0.5
    edge = size + rng.randint(16, 26) if on_border else rng.randint(24, 44)
    form, sign = rng.choice(("{0:03}/{1}", "{0}/{1}", "HL{1}-{0:03}")), rng.random() < 0.7
    year, says, power = rng.randint(1998, 2023), rng.random() < 0.8, rng.random() < 0.6
    foot = 1050 - edge - (0 if on_border else size + 18)

    def printing(number: str, own: random.Random) -> NumberedSide:
        side = Image.new("RGB", SIZE, border)
        pen = ImageDraw.Draw(side)
        frame = own.choice(frames)
        ink = (20, 18, 16) if sum(frame) > 330 else (245, 243, 235)
        pen.rounded_rectangle((edge, edge, 750 - edge, 1050 - edge), 18, fill=frame)
        name = f"{own.choice(_NAMES)} {own.choice(_KINDS)}"
        pen.text((edge + 20, edge + 14), name, ink, _face(38, True))
        cost = str(own.randint(1, 340))
        pen.text((730 - edge, edge + 14), cost, ink, _face(38, True), "ra")
        side.paste(natural(own, (704 - 2 * edge, split - 120), "tuning"), (edge + 23, 120))
        pen.text((edge + 24, split + 8), f"{own.choice(_KINDS)}, {own.randint(1, 9)} m", ink,
                 _face(24, True))  # fmt: skip
        box = (edge + 22, split + 46, 728 - edge, foot - 10)
        pen.rectangle(box, fill=tuple(min(255, 150 + c // 2) for c in frame), outline=ink)
        told = textwrap.wrap(" ".join(own.sample(_RULES, own.randint(1, 4))), 44)
        for row, line in enumerate(told):
            pen.text((box[0] + 14, box[1] + 14 + 31 * row), line, (20, 18, 16), _face(25))
        if power:
            spot = (box[2] - 90, box[3] - 42, box[2] + 6, box[3] + 6)
            pen.rectangle(spot, fill=frame, outline=ink, width=3)
            pen.text((box[2] - 42, box[3] - 18), f"{own.randint(1, 9)}/{own.randint(1, 9)}", ink,
                     _face(30, True), "mm")  # fmt: skip
        return NumberedSide(side, number, _foot(pen, number, own, frame))

    def _foot(
        pen: ImageDraw.ImageDraw, number: str, own: random.Random, frame: tuple[int, ...]
    ) -> tuple[float, float, float, float]:
        ground = border if on_border else frame
        ink = (20, 18, 16) if sum(ground) > 330 else (240, 240, 232)
        line = 1050 - edge / 2 if on_border else 1046 - edge - size / 2
        text = form.format(int("".join(filter(str.isdigit, number)) or 1), total)
        x, anchor = {"left": (edge + 24, "lm"), "right": (726 - edge, "rm")}.get(where, (375, "mm"))
        pen.text((x, line), text, ink, _face(size), anchor)
        box = pen.textbbox((x, line), text, _face(size), anchor)
        if sign:
            at = box[0] - 12 if where == "right" else box[2] + 12
            pen.text((at, line), own.choice(_SIGNS), ink, _face(size),
                     "rm" if where == "right" else "lm")  # fmt: skip
        far, end = (edge + 24, "lm") if where == "right" else (726 - edge, "rm")
        pen.text((far, line), f"©{year} Gaffsman Games", ink, _face(max(15, size - 5)), end)
        if says and where != "middle":
            by = f"Art: {own.choice(_NAMES)} {own.choice('ABCDEF')}."
            pen.text((375, line), by, ink, _face(max(15, size - 4)), "mm")
        return box

    return printing
