"""Designs to tune on. None of their styles is among the held-out ones."""

from __future__ import annotations

import colorsys
import math
import random

import numpy as np
from PIL import Image, ImageDraw, ImageFont

from support.scanning.cards import HIGH, WIDE, Design, cutting

PHOTOGRAPHS = ("astronaut.png", "coffee.png", "ihc.png", "rocket.jpg", "hubble_deep_field.jpg")
SYLLABLES = ("ka", "lo", "mir", "ten", "vas", "or", "bel", "dun", "is", "ra", "wick", "po")
Colour = tuple[int, int, int]


def hue(rng: random.Random, strong: float = 0.7, light: float = 0.7) -> Colour:
    """A colour of any hue."""
    r, g, b = colorsys.hsv_to_rgb(rng.random(), strong, light)
    return round(255 * r), round(255 * g), round(255 * b)


def word(rng: random.Random) -> str:
    """A made-up word."""
    return "".join(rng.choice(SYLLABLES) for _ in range(rng.randint(2, 4))).capitalize()


def lines_of_text(
    pen: ImageDraw.ImageDraw,
    box: tuple[int, int, int, int],
    rng: random.Random,
    fill: Colour,
    size: int = 15,
) -> None:
    """A box filled with words."""
    font = ImageFont.load_default(size)
    for y in range(box[1], box[3] - size, round(size * 1.35)):
        many = rng.randint(6, 9)
        text = " ".join(word(rng) for _ in range(many))
        while pen.textlength(text, font=font) > box[2] - box[0]:
            text = text[:-3]
        pen.text((box[0], y), text, fill=fill, font=font)


def page(fill: Colour) -> tuple[Image.Image, ImageDraw.ImageDraw]:
    """An empty side and a pen on it."""
    picture = Image.new("RGB", (WIDE, HIGH), fill)
    return picture, ImageDraw.Draw(picture)


def gazette_front(deck: random.Random, own: random.Random) -> Image.Image:
    """Paper, a photograph, a nameplate below."""
    plate = hue(deck)
    picture, pen = page((238, 234, 222))
    picture.paste(cutting(own, PHOTOGRAPHS, (WIDE - 80, HIGH - 80)), (40, 40))
    pen.rectangle((40, HIGH - 150, WIDE - 41, HIGH - 41), fill=plate)
    pen.text((60, HIGH - 135), word(own), fill="white", font=ImageFont.load_default(54))
    return picture


def gazette_back(deck: random.Random, own: random.Random) -> Image.Image:
    """Two columns of print under a headline."""
    ink = hue(deck, 0.5, 0.35)
    picture, pen = page((225, 219, 203))
    pen.rectangle((30, 30, WIDE - 30, 110), fill=ink)
    pen.text((45, 42), word(own), fill="white", font=ImageFont.load_default(48))
    lines_of_text(pen, (30, 130, 290, 800), own, ink)
    lines_of_text(pen, (310, 130, 570, 620), own, ink)
    pen.ellipse((350, 640, 530, 800), outline=ink, width=8)
    return picture


def ribbon_front(deck: random.Random, own: random.Random) -> Image.Image:
    """A photograph to the edge and a ribbon across a corner."""
    picture = cutting(own, PHOTOGRAPHS, (WIDE, HIGH))
    pen = ImageDraw.Draw(picture)
    pen.polygon([(0, 520), (0, 660), (WIDE, 800), (WIDE, 700)], fill=hue(deck, 0.9, 0.8))
    pen.text((40, 590), word(own), fill="white", font=ImageFont.load_default(60))
    return picture


def ribbon_back(deck: random.Random, own: random.Random) -> Image.Image:
    """A run of colour with a table on it."""
    one, other = np.asarray(hue(deck)), np.asarray(hue(deck, 0.5, 0.95))
    run = np.linspace(0, 1, HIGH)[:, None, None] * (other - one) + one
    picture = Image.fromarray(np.broadcast_to(run, (HIGH, WIDE, 3)).astype(np.uint8))
    pen = ImageDraw.Draw(picture)
    pen.rectangle((50, 220, WIDE - 50, 600), fill=(245, 245, 240))
    for row in range(9):
        y = 235 + 40 * row
        for column in range(5):
            pen.text(
                (65 + 95 * column, y),
                str(own.randint(0, 400)),
                fill=(30, 30, 60),
                font=ImageFont.load_default(26),
            )
    pen.text((60, 90), word(own), fill="white", font=ImageFont.load_default(70))
    return picture


def shield_front(deck: random.Random, own: random.Random) -> Image.Image:
    """A coat of arms on one colour inside a wide border."""
    rim, field = hue(deck, 0.6, 0.5), hue(own, 0.25, 0.9)
    picture, pen = page(rim)
    pen.rectangle((55, 55, WIDE - 56, HIGH - 56), fill=field)
    outline = [(150, 170), (450, 170), (450, 460), (300, 640), (150, 460)]
    pen.polygon(outline, fill=hue(own), outline=(20, 20, 20), width=6)
    for _ in range(own.randint(1, 4)):
        x, y, r = own.randint(190, 410), own.randint(210, 450), own.randint(20, 60)
        pen.regular_polygon((x, y, r), own.randint(3, 7), fill=hue(own, 0.8, 0.9))
    pen.text((110, 690), word(own), fill=(20, 20, 20), font=ImageFont.load_default(64))
    return picture


def shield_back(deck: random.Random, own: random.Random) -> Image.Image:
    """A pattern that has no top, the same on every card."""
    one, other = hue(deck, 0.8, 0.45), hue(deck, 0.4, 0.85)
    picture, pen = page(one)
    for y in range(0, HIGH // 2 + 1, 42):
        for x in range(0, WIDE, 40):
            at = x + (y // 42 % 2) * 20
            for cx, cy in ((at, y), (WIDE - at, HIGH - y)):
                pen.ellipse((cx - 12, cy - 12, cx + 12, cy + 12), outline=other, width=3)
    pen.rectangle((20, 20, WIDE - 21, HIGH - 21), outline=(240, 236, 228), width=14)
    return picture


def night_front(deck: random.Random, own: random.Random) -> Image.Image:
    """Thin curves on near black."""
    glow = hue(deck, 0.5, 1.0)
    picture, pen = page((16, 15, 24))
    a, b, turn = own.randint(2, 7), own.randint(2, 7), own.uniform(0, math.pi)
    steps = np.linspace(0, 2 * math.pi, 600)
    points = [
        (300 + 230 * math.sin(a * t + turn), 380 + 260 * math.sin(b * t)) for t in steps.tolist()
    ]
    pen.line(points, fill=glow, width=4)
    for _ in range(80):
        x, y = own.randrange(WIDE), own.randrange(HIGH)
        pen.point((x, y), fill="white")
    pen.text((60, 730), word(own), fill=glow, font=ImageFont.load_default(52))
    return picture


def night_back(deck: random.Random, own: random.Random) -> Image.Image:
    """Print in one colour on near black."""
    glow = hue(deck, 0.5, 0.9)
    picture, pen = page((20, 19, 26))
    lines_of_text(pen, (60, 200, 540, 640), own, glow, 20)
    pen.line((60, 160, 540, 160), fill=glow, width=5)
    pen.text((60, 80), word(own), fill=glow, font=ImageFont.load_default(58))
    return picture


def pale_front(deck: random.Random, own: random.Random) -> Image.Image:
    """Nearly white, with a drawing in the middle."""
    picture, pen = page((248, 247, 243))
    tone = hue(deck, 0.3, 0.85)
    for _ in range(9):
        x, y, r = own.randint(170, 430), own.randint(230, 540), own.randint(30, 110)
        pen.ellipse((x - r, y - r, x + r, y + r), outline=tone, width=7)
    pen.text((190, 700), word(own), fill=(120, 120, 130), font=ImageFont.load_default(46))
    return picture


def pale_back(deck: random.Random, own: random.Random) -> Image.Image:
    """Grey print on white."""
    picture, pen = page((250, 249, 246))
    lines_of_text(pen, (80, 120, 520, 480), own, (140, 140, 148), 18)
    pen.rectangle((80, 560, 520, 580), fill=hue(deck, 0.3, 0.85))
    return picture


def wide_front(deck: random.Random, own: random.Random) -> Image.Image:
    """A photograph across, with a strip at its left, to be read with the long side down."""
    picture = Image.new("RGB", (HIGH, WIDE), hue(deck, 0.7, 0.4))
    picture.paste(cutting(own, PHOTOGRAPHS, (HIGH - 190, WIDE - 40)), (170, 20))
    pen = ImageDraw.Draw(picture)
    pen.text((15, 250), word(own)[:6], fill="white", font=ImageFont.load_default(44))
    return picture


def wide_back(deck: random.Random, own: random.Random) -> Image.Image:
    """Text across, to be read with the long side down."""
    ink = hue(deck, 0.7, 0.4)
    picture = Image.new("RGB", (HIGH, WIDE), (232, 230, 226))
    pen = ImageDraw.Draw(picture)
    pen.rectangle((0, 0, HIGH, 90), fill=ink)
    lines_of_text(pen, (40, 130, 800, 520), own, ink, 20)
    return picture


def rainbow_front(deck: random.Random, own: random.Random) -> Image.Image:
    """A foil: grain in all colours, brighter in waves."""
    noise = np.random.default_rng(own.randrange(2**32))
    y, x = np.mgrid[0:HIGH, 0:WIDE].astype(np.float32)
    wave = np.sin(x / own.uniform(40, 90) + y / own.uniform(30, 90) + own.uniform(0, 6))
    tone = np.stack([np.sin(wave * 2 + k * 2.1) for k in range(3)], axis=2) * 70 + 150
    tone += noise.standard_normal((HIGH, WIDE, 1), dtype=np.float32) * 14
    picture = Image.fromarray(np.clip(tone, 0, 255).astype(np.uint8))
    part = cutting(own, PHOTOGRAPHS, (360, 460))
    picture.paste(part, (120, 130))
    pen = ImageDraw.Draw(picture)
    pen.rectangle((90, 650, 510, 760), fill=hue(deck, 0.8, 0.3))
    pen.text((110, 665), word(own), fill="white", font=ImageFont.load_default(60))
    return picture


DESIGNS = (
    Design("gazette", gazette_front, gazette_back),
    Design("ribbon", ribbon_front, ribbon_back),
    Design("shield", shield_front, shield_back, top=False, border=True),
    Design("night", night_front, night_back),
    Design("pale", pale_front, pale_back),
    Design("wide", wide_front, wide_back, lying=True),
    Design("rainbow", rainbow_front, gazette_back),
)
