"""Backs over a picture or a colour that runs to the edge, in Hershey's stroked letters: panels of
facts and short lines, the number in a badge, in a slanted bar or bare on the picture."""

from __future__ import annotations

import math
import random

import cv2
import numpy as np
import numpy.typing as npt
from PIL import Image, ImageDraw, ImageFilter

from support.backs.numbered import SIZE, Box, Colour, NumberedSide, Print
from support.card_art import natural

_LETTERS = (cv2.FONT_HERSHEY_DUPLEX, cv2.FONT_HERSHEY_COMPLEX, cv2.FONT_HERSHEY_TRIPLEX)
_PLACES = ((0.86, 0.08), (0.14, 0.08), (0.86, 0.9), (0.14, 0.9), (0.5, 0.93), (0.88, 0.5))
_LABELS = ("POSITION", "CLUB", "HEIGHT", "WEIGHT", "DEBUT", "TOWS", "BEST HAUL", "NICKNAME")
_SAID = ("Stoker", "Gulls", "Foxes", "Otters", "Herons", "Quay", "Gaff", "Mast", "Sable", "Brine")
Pixels = npt.NDArray[np.uint8]


def _put(
    page: Pixels, text: str, middle: tuple[float, float], height: float, ink: Colour, letters: int
) -> Box:
    """Written with its capitals this high, around a point; gives the box of what is inked."""
    thick = max(1, round(height / 9))
    scale = height / 22.0
    (width, _), _ = cv2.getTextSize(text, letters, scale, thick)
    mask = np.zeros(page.shape[:2], np.uint8)
    left = int(min(max(30, middle[0] - width / 2), SIZE[0] - 30 - width))
    cv2.putText(
        mask, text, (left, int(middle[1] + height / 2)), letters, scale, 255, thick, cv2.LINE_AA
    )
    page[:] = page + (np.array(ink) - page) * (mask[..., None] / 255.0)
    rows, columns = np.nonzero(mask > 100)
    return (columns.min(), rows.min(), columns.max() + 1, rows.max() + 1)


def pictured(rng: random.Random) -> Print:
    """A design of this kind."""
    ground = natural(rng, SIZE, "held").filter(ImageFilter.GaussianBlur(rng.choice((0.8, 3, 9))))
    same = rng.random() < 0.6  # one ground for all cards, else a part of a picture for each
    letters = rng.choice(_LETTERS)
    small = rng.choice(_LETTERS)
    high, body = rng.uniform(17, 34), rng.uniform(11, 15)
    place, badge = rng.choice(_PLACES), rng.choice(("disc", "slant", "none", "star"))
    light, dark = (250, 248, 240), (rng.randint(0, 60), rng.randint(0, 60), rng.randint(0, 90))
    panel = light if rng.random() < 0.5 else dark
    inks = (dark, light) if panel == light else (light, dark)
    facts, top, name_low = (
        rng.randint(4, 8),
        rng.randint(240, 330),
        rng.random() < 0.3 and place[1] < 0.7,
    )

    def printing(number: str, own: random.Random) -> NumberedSide:
        base = ground if same else natural(own, SIZE, "held").filter(ImageFilter.GaussianBlur(2))
        side = base.convert("RGB")
        pen = ImageDraw.Draw(side)
        pen.rectangle((70, top - 40, 640, top + facts * 62), fill=panel)
        x, y = place[0] * SIZE[0], place[1] * SIZE[1]
        reach = high * (0.5 + 0.42 * len(number)) + 10
        _badge(pen, badge, (x, y), reach, high, inks[0])
        page = np.array(side, dtype=np.float64)
        name = f"{own.choice(_SAID)} {own.choice(_SAID)}".upper()
        _put(page, name, (375, 960 if name_low else 170), 30, inks[1], letters)
        for row, label in enumerate(_LABELS[:facts]):
            said = own.choice((own.choice(_SAID), str(own.randint(1, 999)), f"{own.randint(1,9)}-"
                               f"{own.randint(1, 99)}"))  # fmt: skip
            _put(page, label, (180, top + 62 * row), body, inks[0], small)
            _put(page, said, (480, top + 62 * row), body * 1.2, inks[0], small)
        _put(page, "KETTLE PRINTING CO", (375, 1024), 9, inks[1], small)
        plain = badge == "none"
        box = _put(page, number, (x, y), high, inks[1], letters) if not plain else _put(
            page, number, (x, y), high, (255, 255, 255), letters)  # fmt: skip
        return NumberedSide(Image.fromarray(page.clip(0, 255).astype(np.uint8)), number, box)

    return printing


def _badge(
    pen: ImageDraw.ImageDraw, badge: str, at: tuple[float, float], reach: float, high: float,
    ink: Colour,
) -> None:  # fmt: skip
    x, y = min(max(at[0], 30 + reach), SIZE[0] - 30 - reach), at[1]
    if badge == "disc":
        pen.ellipse((x - reach, y - reach, x + reach, y + reach), fill=ink)
    elif badge == "slant":
        pen.polygon(
            ((x - reach - 8, y + high), (x - reach + 8, y - high), (x + reach + 8, y - high),
             (x + reach - 8, y + high)), fill=ink,
        )  # fmt: skip
    elif badge == "star":
        spikes = [
            (x + far * math.cos(math.pi * k / 8), y + far * math.sin(math.pi * k / 8))
            for k in range(16)
            for far in (reach * (1.5 if k % 2 else 1.15),)
        ]
        pen.polygon(spikes, fill=ink)
