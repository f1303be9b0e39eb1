"""Designs that nothing is tuned on: they are drawn only to report on. They share no style and no
photograph with those to tune on."""

from __future__ import annotations

import math
import random
from functools import lru_cache
from importlib import resources

import numpy as np
from PIL import Image, ImageDraw, ImageFilter, ImageFont, ImageOps

from support.scanning.cards import HIGH, WIDE, Design, cutting

PHOTOGRAPHS = (
    "chelsea.png",
    "motorcycle_left.png",
    "camera.png",
    "retina.jpg",
    "color.png",
    "moon.png",
)
NAMES = ("Abernal", "Cossip", "Drumond", "Ettery", "Falcor", "Grinle", "Hurst", "Iverra", "Jolm")


def tones(rng: random.Random, low: int, high: int) -> tuple[int, int, int]:
    """Any colour between two levels."""
    return rng.randint(low, high), rng.randint(low, high), rng.randint(low, high)


def label(
    picture: Image.Image, at: tuple[int, int], text: str, size: int, fill: tuple[int, int, int]
) -> None:
    """Words on a side."""
    ImageDraw.Draw(picture).text(at, text, fill=fill, font=ImageFont.load_default(size))


def prose(picture: Image.Image, box: tuple[int, int, int, int], rng: random.Random) -> None:
    """Rows of strokes as small print leaves them."""
    pen = ImageDraw.Draw(picture)
    for y in range(box[1], box[3], 17):
        x = box[0]
        while x < box[2] - 40:
            wide = rng.randint(10, 46)
            for stroke in range(x, x + wide, 5):
                top = rng.choice((0, 0, 4))
                pen.line((stroke, y + top, stroke + rng.randint(-2, 2), y + 10), (34, 30, 40), 2)
            x += wide + 10


def mosaic_front(deck: random.Random, own: random.Random) -> Image.Image:
    """The cells around scattered points, each in one colour, to the edge."""
    noise = np.random.default_rng(own.randrange(2**32))
    points = noise.random((60, 2)) * (120, 168)
    palette = noise.integers(40, 235, (60, 3))
    palette[:20] = tones(deck, 30, 220)
    y, x = np.mgrid[0:168, 0:120]
    far = (x[..., None] - points[:, 0]) ** 2 + (y[..., None] - points[:, 1]) ** 2
    cells = palette[far.argmin(axis=2)].astype(np.uint8)
    picture = Image.fromarray(cells).resize((WIDE, HIGH), Image.Resampling.NEAREST)
    ImageDraw.Draw(picture).rectangle((0, 0, WIDE, 96), fill=(250, 248, 240))
    label(picture, (30, 16), own.choice(NAMES), 60, (20, 20, 20))
    return picture


def mosaic_back(deck: random.Random, own: random.Random) -> Image.Image:
    """Diagonal bands and a box of small print."""
    picture = Image.new("RGB", (WIDE, HIGH), tones(deck, 60, 200))
    pen, band = ImageDraw.Draw(picture), tones(deck, 60, 240)
    for at in range(-HIGH, WIDE, 90):
        pen.line((at, 0, at + HIGH, HIGH), fill=band, width=30)
    pen.rectangle((70, 300, 530, 780), fill=(236, 233, 226))
    prose(picture, (90, 330, 520, 760), own)
    label(picture, (70, 200), own.choice(NAMES), 64, (255, 255, 255))
    return picture


@lru_cache(maxsize=1)
def faces() -> np.ndarray:
    """Small faces of 25 x 25 greys, 0 to 1, inside the wheel of scikit-image (its data folder names
    the source)."""
    return np.load(str(resources.files("skimage") / "data" / "lfw_subset.npy"))[:100]


def halftone_front(deck: random.Random, own: random.Random) -> Image.Image:
    """A head in dots of ink, in a cream border of even width."""
    head = Image.fromarray((255 * own.choice(list(faces()))).astype(np.uint8))
    grey = head.resize((60, 84), Image.Resampling.BICUBIC)
    dots = Image.new("L", (480, 672), 255)
    pen = ImageDraw.Draw(dots)
    for y in range(84):
        for x in range(60):
            r = 5.6 * math.sqrt(1 - grey.getpixel((x, y)) / 255)
            pen.ellipse((8 * x + 4 - r, 8 * y + 4 - r, 8 * x + 4 + r, 8 * y + 4 + r), fill=0)
    inked = ImageOps.colorize(dots, tones(deck, 20, 90), tones(deck, 190, 235))
    picture = Image.new("RGB", (WIDE, HIGH), (240, 232, 206))
    picture.paste(inked.resize((WIDE - 90, HIGH - 90), Image.Resampling.BILINEAR), (45, 45))
    ImageDraw.Draw(picture).rectangle((45, 690, WIDE - 46, HIGH - 46), fill=tones(deck, 120, 220))
    label(picture, (70, 705), own.choice(NAMES), 58, (20, 18, 30))
    return picture


def halftone_back(deck: random.Random, own: random.Random) -> Image.Image:
    """A number in a ring above rows of figures."""
    ink = tones(deck, 30, 120)
    picture = Image.new("RGB", (WIDE, HIGH), (229, 222, 199))
    pen = ImageDraw.Draw(picture)
    pen.ellipse((40, 40, 180, 180), outline=ink, width=12)
    label(picture, (75, 75), str(own.randint(1, 99)), 54, ink)
    pen.rectangle((210, 60, 560, 150), fill=ink)
    prose(picture, (40, 220, 560, 560), own)
    pen.rectangle((40, 600, 560, 610), fill=ink)
    return picture


def pip_front(deck: random.Random, own: random.Random) -> Image.Image:
    """Pips on white, alike whichever way up."""
    many, sides, ink = own.randint(1, 10), own.randint(3, 6), own.choice(((180, 20, 30), (20,) * 3))
    picture = Image.new("RGB", (WIDE, HIGH), (249, 249, 247))
    pen = ImageDraw.Draw(picture)
    places = [(x, y) for y in (150, 260, 370) for x in (190, 300, 410)][: (many + 1) // 2]
    for x, y in places:
        for turn, (px, py) in enumerate(((x, y), (WIDE - x, HIGH - y))):
            pen.regular_polygon((px, py, 46), sides, rotation=180 * turn, fill=ink)
    corner = Image.new("RGB", (70, 90), (249, 249, 247))
    label(corner, (8, 8), str(many), 60, ink)
    picture.paste(corner, (24, 24))
    picture.paste(corner.transpose(Image.Transpose.ROTATE_180), (WIDE - 94, HIGH - 114))
    return picture


def pip_back(deck: random.Random, own: random.Random) -> Image.Image:
    """A lattice, alike whichever way up and on every card, inside white."""
    ink = tones(deck, 20, 140)
    picture = Image.new("RGB", (WIDE, HIGH), (247, 247, 245))
    inner = Image.new("RGB", (WIDE - 70, HIGH - 70), ink)
    pen = ImageDraw.Draw(inner)
    for at in range(-HIGH, WIDE + HIGH, 34):
        pen.line((at, 0, at + HIGH, HIGH), fill=(238, 236, 228), width=5)
        pen.line((at, 0, at - HIGH, HIGH), fill=(238, 236, 228), width=5)
    half = inner.crop((0, 0, WIDE - 70, (HIGH - 70) // 2))
    inner.paste(half.transpose(Image.Transpose.ROTATE_180), (0, (HIGH - 70) // 2))
    picture.paste(inner, (35, 35))
    return picture


def footplate_front(deck: random.Random, own: random.Random) -> Image.Image:
    """A photograph above a deep plate, one colour around both: borders of uneven width."""
    rim = tones(deck, 90, 235)
    picture = Image.new("RGB", (WIDE, HIGH), rim)
    picture.paste(cutting(own, PHOTOGRAPHS, (WIDE - 70, HIGH - 230)), (35, 45))
    label(picture, (60, HIGH - 150), own.choice(NAMES), 76, (12, 12, 20))
    return picture


def footplate_back(deck: random.Random, own: random.Random) -> Image.Image:
    """A small portrait beside print."""
    picture = Image.new("RGB", (WIDE, HIGH), tones(deck, 160, 230))
    picture.paste(cutting(own, PHOTOGRAPHS, (200, 260)), (30, 30))
    prose(picture, (260, 40, 580, 280), own)
    prose(picture, (30, 330, 580, 800), own)
    return picture


def growth_front(deck: random.Random, own: random.Random) -> Image.Image:
    """A plant, branch by branch, on a wash of colour."""
    ground = tones(deck, 170, 240)
    picture = Image.new("RGB", (WIDE, HIGH), ground)
    pen, ink = ImageDraw.Draw(picture), tones(own, 20, 110)
    stack = [(300.0, 760.0, -math.pi / 2, 150.0, 12)]
    while stack:
        x, y, way, long, thick = stack.pop()
        tip = (x + long * math.cos(way), y + long * math.sin(way))
        pen.line((x, y, *tip), fill=ink, width=max(1, thick))
        if long > 26:
            for turn in (own.uniform(0.2, 0.7), -own.uniform(0.2, 0.7)):
                stack.append((*tip, way + turn, long * own.uniform(0.66, 0.8), thick - 2))
        else:
            pen.ellipse((tip[0] - 7, tip[1] - 7, tip[0] + 7, tip[1] + 7), fill=tones(own, 60, 230))
    label(picture, (40, 30), own.choice(NAMES), 50, ink)
    return picture


def poster_front(deck: random.Random, own: random.Random) -> Image.Image:
    """Rays from a point, to the edge, and a dark disc."""
    y, x = np.mgrid[0:HIGH, 0:WIDE].astype(np.float32)
    cx, cy = own.uniform(200, 400), own.uniform(250, 420)
    ray = (np.floor(np.arctan2(y - cy, x - cx) / (math.pi / 14)) % 2)[..., None]
    one, other = np.asarray(tones(deck, 150, 250)), np.asarray(tones(deck, 90, 200))
    picture = Image.fromarray((ray * one + (1 - ray) * other).astype(np.uint8))
    pen, r = ImageDraw.Draw(picture), own.uniform(80, 150)
    pen.ellipse((cx - r, cy - r, cx + r, cy + r), fill=tones(own, 10, 90))
    pen.rectangle((0, 720, WIDE, HIGH), fill=tones(deck, 10, 60))
    label(picture, (40, 735), own.choice(NAMES), 70, (250, 246, 230))
    return picture


def poster_back(deck: random.Random, own: random.Random) -> Image.Image:
    """One dark colour, a light plate at the head, print below."""
    picture = Image.new("RGB", (WIDE, HIGH), tones(deck, 20, 90))
    ImageDraw.Draw(picture).rectangle((40, 40, 560, 240), fill=(226, 226, 220))
    ImageDraw.Draw(picture).rectangle((40, 420, 560, 800), fill=(200, 204, 206))
    label(picture, (60, 100), own.choice(NAMES), 72, (30, 26, 40))
    prose(picture, (60, 440, 550, 780), own)
    return picture


def engraved_front(deck: random.Random, own: random.Random) -> Image.Image:
    """A photograph in lines of ink on white paper, no border drawn."""
    grey = cutting(own, PHOTOGRAPHS, (WIDE, HIGH)).convert("L").filter(ImageFilter.BoxBlur(2))
    y = np.arange(HIGH)[:, None] + np.arange(WIDE)[None, :] * 0.4
    line = (np.sin(y / 1.7) + 1) * 127.5
    inked = np.where(np.asarray(grey) + 55 < line, 40, 245).astype(np.uint8)
    mask = Image.new("L", (WIDE, HIGH), 0)
    ImageDraw.Draw(mask).ellipse((70, 90, 530, 690), fill=255)
    picture = Image.new("RGB", (WIDE, HIGH), (245, 243, 236))
    picture.paste(Image.fromarray(inked).convert("RGB"), mask=mask)
    label(picture, (150, 720), own.choice(NAMES), 60, (44, 40, 40))
    return picture


def grained(deck: random.Random) -> Image.Image:
    """A board of wood."""
    noise = np.random.default_rng(deck.randrange(2**32))
    rows = np.cumsum(noise.standard_normal((HIGH, 1)), axis=0) * 3
    y, x = np.mgrid[0:HIGH, 0:WIDE]
    grain = 24 * np.sin((x + rows + 30 * np.sin(y / 160)) / 9.0)
    base = np.asarray(tones(deck, 90, 150))
    return Image.fromarray(np.clip(base + grain[..., None], 0, 255).astype(np.uint8))


def board_front(deck: random.Random, own: random.Random) -> Image.Image:
    """An oval photograph on wood."""
    picture = grained(deck)
    mask = Image.new("L", (460, 560), 0)
    ImageDraw.Draw(mask).ellipse((0, 0, 459, 559), fill=255)
    picture.paste(cutting(own, PHOTOGRAPHS, (460, 560)), (70, 60), mask)
    ImageDraw.Draw(picture).rectangle((90, 660, 510, 770), fill=(214, 186, 110))
    label(picture, (110, 680), own.choice(NAMES), 62, (40, 24, 10))
    return picture


def board_back(deck: random.Random, own: random.Random) -> Image.Image:
    """Wood with a label of small print high up."""
    picture = grained(deck)
    ImageDraw.Draw(picture).rectangle((60, 60, 540, 470), fill=(228, 208, 160))
    prose(picture, (80, 80, 530, 450), own)
    return picture


DESIGNS = (
    Design("mosaic", mosaic_front, mosaic_back),
    Design("halftone", halftone_front, halftone_back, border=True),
    Design("pips", pip_front, pip_back, top=False),
    Design("footplate", footplate_front, footplate_back),
    Design("growth", growth_front, poster_back),
    Design("poster", poster_front, poster_back),
    Design("engraved", engraved_front, halftone_back),
    Design("board", board_front, board_back),
)
