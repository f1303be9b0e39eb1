"""More designs that nothing is tuned on, drawn after the measuring was."""

from __future__ import annotations

import math
import random

from PIL import Image, ImageDraw

from support.scanning.art_held import NAMES, label, prose, tones
from support.scanning.cards import HIGH, WIDE, Design


def woven_front(deck: random.Random, own: random.Random) -> Image.Image:
    """Threads over and under each other to the edge, a lozenge of one colour in the middle."""
    one, other = tones(deck, 70, 200), tones(deck, 110, 240)
    picture = Image.new("RGB", (WIDE, HIGH), one)
    pen = ImageDraw.Draw(picture)
    for row in range(0, HIGH, 20):
        for column in range(row // 20 % 2 * 20, WIDE, 40):
            pen.rounded_rectangle((column, row, column + 30, row + 14), 6, fill=other)
    x, y = WIDE // 2, own.randint(340, 420)
    pen.polygon([(x, y - 220), (x + 190, y), (x, y + 220), (x - 190, y)], fill=tones(own, 30, 220))
    pen.rectangle((0, 690, WIDE, 780), fill=tones(deck, 10, 80))
    label(picture, (60, 705), own.choice(NAMES), 56, (244, 240, 226))
    return picture


def woven_back(deck: random.Random, own: random.Random) -> Image.Image:
    """A wide stripe across, print above and a table below."""
    picture = Image.new("RGB", (WIDE, HIGH), tones(deck, 170, 236))
    pen = ImageDraw.Draw(picture)
    pen.rectangle((0, 120, WIDE, 210), fill=tones(deck, 30, 160))
    label(picture, (40, 140), own.choice(NAMES), 50, (250, 250, 250))
    prose(picture, (40, 240, 560, 470), own)
    for y in range(520, 780, 34):
        pen.line((40, y, 560, y), fill=(60, 60, 70), width=2)
        label(
            picture, (60, y + 6), f"{own.randint(1900, 1999)}   {own.random():.3f}", 20, (40,) * 3
        )
    return picture


def contour_front(deck: random.Random, own: random.Random) -> Image.Image:
    """Lines of equal height around two hills on dark ground, in a thin border of light colour."""
    picture = Image.new("RGB", (WIDE, HIGH), tones(deck, 200, 246))
    inner = Image.new("RGB", (WIDE - 52, HIGH - 52), tones(deck, 10, 70))
    pen, ink = ImageDraw.Draw(inner), tones(own, 120, 250)
    for x, y in ((own.uniform(120, 420), own.uniform(150, 330)), (own.uniform(120, 420), 560)):
        turn = own.uniform(0, math.pi)
        for r in range(24, 200, 16):
            points = []
            for step in range(60):
                at = step * math.tau / 60
                far = r * (1 + 0.22 * math.sin(2 * at + turn) + 0.1 * math.sin(5 * at))
                points.append((x + far * math.cos(at), y + far * math.sin(at)))
            pen.line([*points, points[0]], fill=ink, width=4)
    picture.paste(inner, (26, 26))
    ImageDraw.Draw(picture).rectangle((26, 26, 330, 100), fill=(235, 226, 180))
    label(picture, (44, 36), own.choice(NAMES), 46, (30, 20, 20))
    return picture


def contour_back(deck: random.Random, own: random.Random) -> Image.Image:
    """A compass of triangles at the head, two columns of print."""
    ink = tones(deck, 20, 130)
    picture = Image.new("RGB", (WIDE, HIGH), tones(deck, 205, 245))
    pen = ImageDraw.Draw(picture)
    for step in range(8):
        at, far = step * math.pi / 4, 110 if step % 2 else 150
        side = [(300 + 30 * math.cos(at + k), 190 + 30 * math.sin(at + k)) for k in (-0.5, 0.5)]
        pen.polygon([*side, (300 + far * math.cos(at), 190 + far * math.sin(at))], fill=ink)
    prose(picture, (40, 380, 290, 800), own)
    prose(picture, (320, 380, 560, 640), own)
    label(picture, (330, 690), str(own.randint(1, 300)), 70, ink)
    return picture


DESIGNS = (
    Design("woven", woven_front, woven_back),
    Design("contour", contour_front, contour_back, border=True),
)
