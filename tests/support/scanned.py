"""Scans for tests of what is measured on pixels: a card laid on a scanner's bed, the place of its
corners known.

Coordinates are pixels with (0, 0) at the outer corner of the first pixel, x to the right and y
down, so that the middle of the first pixel is (0.5, 0.5). Nothing here comes from the measuring.
"""

from __future__ import annotations

import io
import math
import random
from dataclasses import dataclass, replace

import numpy as np
from PIL import Image, ImageFilter

Point = tuple[float, float]
MM = 25.4
CARD = (63.5, 88.9)  # mm, 2.5 x 3.5 in: common practice
BEDS = {"black": (8, 34), "grey": (84, 150), "white": (240, 254)}


@dataclass(frozen=True)
class Laid:
    """How a card lies: the middle in pixels, the angle in degrees (clockwise on the screen), the
    size in mm."""

    middle: Point
    angle: float
    size: tuple[float, float] = CARD

    def corners(self, dpi: float) -> tuple[Point, Point, Point, Point]:
        """Left upper, right upper, right lower, left lower of the card as printed, in pixels."""
        c, s = math.cos(math.radians(self.angle)), math.sin(math.radians(self.angle))
        w, h = (length / MM * dpi / 2 for length in self.size)
        ends = ((-w, -h), (w, -h), (w, h), (-w, h))
        out = [(self.middle[0] + x * c - y * s, self.middle[1] + x * s + y * c) for x, y in ends]
        return out[0], out[1], out[2], out[3]


@dataclass(frozen=True)
class Scan:
    """A page and the truth about it: corners as in `Laid.corners`, one quadruple a card."""

    picture: Image.Image
    dpi: float
    corners: tuple[tuple[Point, Point, Point, Point], ...]
    laid: tuple[Laid, ...]
    bed: str


@dataclass(frozen=True)
class Scanner:
    """One machine: the bed's grey, tint, light, shadow, noise (levels), blur (pixels) and JPEG
    quality (0: none)."""

    bed: str
    level: float
    tint: tuple[float, float, float]
    slope: tuple[float, float]
    shadow: float
    reach: float
    noise: float
    blur: float
    quality: int

    @staticmethod
    def any(rng: random.Random, bed: str) -> Scanner:
        """Some machine with such a bed."""
        level = rng.uniform(*BEDS[bed])
        tint = (0.0, rng.uniform(-1.5, 1.5), rng.uniform(-2, 2.5))
        slope = (rng.uniform(-3, 3), rng.uniform(-3, 3))
        shadow = rng.uniform(14, 60) if bed == "white" else rng.uniform(0, 0.5) * level
        quality = rng.choice((75, 82, 88, 92))
        return Scanner(
            bed,
            level,
            tint,
            slope,
            shadow,
            rng.uniform(2, 7),
            rng.uniform(0.8, 3),
            rng.uniform(0.4, 0.9),
            quality,
        )


def _around(
    laid: Laid, dpi: float, page: tuple[int, int], room: float
) -> tuple[int, int, int, int]:
    """The part of the page around a card: left, upper, right, lower in pixels."""
    xs, ys = zip(*laid.corners(dpi), strict=True)
    return (
        max(0, math.floor(min(xs) - room)),
        max(0, math.floor(min(ys) - room)),
        min(page[0], math.ceil(max(xs) + room)),
        min(page[1], math.ceil(max(ys) + room)),
    )


def _sample(art: Image.Image, laid: Laid, dpi: float, page: tuple[int, int]) -> np.ndarray:
    """The card's colours at every pixel of the page; beyond its edge the nearest colour of the
    edge, far off black."""
    pad = 12
    wide = Image.fromarray(np.pad(np.asarray(art), ((pad, pad), (pad, pad), (0, 0)), mode="edge"))
    kx = art.width / (laid.size[0] / MM * dpi)
    ky = art.height / (laid.size[1] / MM * dpi)
    c, s = math.cos(math.radians(laid.angle)), math.sin(math.radians(laid.angle))
    x, y = laid.middle
    across = (c * kx, s * kx, art.width / 2 + pad - (c * x + s * y) * kx)
    down = (-s * ky, c * ky, art.height / 2 + pad - (-s * x + c * y) * ky)
    turned = wide.transform(
        page, Image.Transform.AFFINE, (*across, *down), Image.Resampling.BICUBIC
    )
    return np.array(turned, dtype=np.float32)


def _distance(
    laid: Laid, dpi: float, page: tuple[int, int], rounding: float, shift: Point = (0, 0)
) -> np.ndarray:
    """Signed distance in pixels of each pixel's middle to the card's outline: negative inside."""
    c, s = math.cos(math.radians(laid.angle)), math.sin(math.radians(laid.angle))
    x = (np.arange(page[0], dtype=np.float32) + 0.5 - laid.middle[0] - shift[0])[None, :]
    y = (np.arange(page[1], dtype=np.float32) + 0.5 - laid.middle[1] - shift[1])[:, None]
    w, h = (length / MM * dpi / 2 - rounding for length in laid.size)
    qx, qy = np.abs(x * c + y * s) - w, np.abs(-x * s + y * c) - h
    return (
        np.hypot(np.maximum(qx, 0), np.maximum(qy, 0))
        + np.minimum(np.maximum(qx, qy), 0)
        - rounding
    )


def scan(
    arts: list[Image.Image],
    laid: list[Laid],
    scanner: Scanner,
    rng: random.Random,
    *,
    dpi: float = 300,
    page: tuple[int, int] = (820, 1130),
    dust: int = 6,
) -> Scan:
    """The page that the scanner makes of cards that lie on it so."""
    noise = np.random.default_rng(rng.randrange(2**32))
    scale = dpi / 300
    rows = np.linspace(-1, 1, page[1], dtype=np.float32)[:, None, None] * scanner.slope[1]
    columns = np.linspace(-1, 1, page[0], dtype=np.float32)[None, :, None] * scanner.slope[0]
    pixels = scanner.level + np.asarray(scanner.tint, dtype=np.float32) + rows + columns
    for art, lies in zip(arts, laid, strict=True):
        rounding = rng.uniform(1, 5) * scale
        x, y, right, lower = _around(lies, dpi, page, 60 * scale)
        there = replace(lies, middle=(lies.middle[0] - x, lies.middle[1] - y))
        part = (right - x, lower - y)
        near = _distance(there, dpi, part, rounding, (1.6 * scale, 2.2 * scale))
        around = _distance(there, dpi, part, rounding)
        dark = np.exp(-np.maximum(near, 0) / (scanner.reach * scale)) * 0.75
        dark += np.exp(-np.maximum(around, 0) / (1.5 * scale)) * 0.25
        cover = np.clip(0.5 - around, 0, 1)[:, :, None]
        card = _sample(art, there, dpi, part)
        card *= rng.uniform(0.96, 1.0)
        card *= cover
        bare = pixels[y:lower, x:right]
        bare -= (scanner.shadow * dark)[:, :, None]
        bare *= 1 - cover
        bare += card
    for _ in range(dust):
        x, y, r = rng.randrange(page[0]), rng.randrange(page[1]), rng.randint(1, 2)
        pixels[y : y + r, x : x + r] += rng.choice((-50, 50))
    soft = Image.fromarray(np.clip(pixels, 0, 255, out=pixels).astype(np.uint8)).filter(
        ImageFilter.GaussianBlur(scanner.blur * scale)
    )
    # in place: a page is some megabytes, and so would be each step on the way
    grain = noise.standard_normal((page[1], page[0], 3), dtype=np.float32)
    grain *= scanner.noise
    grain += np.asarray(soft)
    grain += 0.5
    done = Image.fromarray(np.clip(grain, 0, 255, out=grain).astype(np.uint8))
    if scanner.quality:
        done = Image.open(io.BytesIO(jpeg(done, dpi, scanner.quality)))
        done.load()
    corners = tuple(lies.corners(dpi) for lies in laid)
    return Scan(done, dpi, corners, tuple(laid), scanner.bed)


def jpeg(picture: Image.Image, dpi: float = 300, quality: int = 85) -> bytes:
    """The picture as a JPEG file that names its dots per inch."""
    out = io.BytesIO()
    picture.convert("RGB").save(out, "JPEG", quality=quality, dpi=(round(dpi), round(dpi)))
    return out.getvalue()


def fed(
    art: Image.Image,
    rng: random.Random,
    bed: str = "black",
    *,
    dpi: float = 300,
    skew: float = 2.5,
    sideways: bool = False,
    scanner: Scanner | None = None,
) -> Scan:
    """One card as it comes out of a feeder: a margin of 3 mm and more around it, crooked, cut a
    little unevenly."""
    width, height = round(820 / 300 * dpi), round(1130 / 300 * dpi)
    size = (CARD[0] + rng.gauss(0, 0.12), CARD[1] + rng.gauss(0, 0.12))
    angle = max(-skew, min(skew, rng.gauss(0, skew / 2)))
    page = (height, width) if sideways else (width, height)
    reach = 10 / 300 * dpi
    middle = (page[0] / 2 + rng.uniform(-reach, reach), page[1] / 2 + rng.uniform(-reach, reach))
    lies = Laid(middle, angle + (rng.choice((90.0, -90.0)) if sideways else 0.0), size)
    return scan([art], [lies], scanner or Scanner.any(rng, bed), rng, dpi=dpi, page=page)


def sheet(
    arts: list[Image.Image],
    rng: random.Random,
    bed: str = "black",
    *,
    dpi: float = 300,
    gap: float = 3.0,
    scanner: Scanner | None = None,
) -> Scan:
    """Four, six or nine cards on a flatbed, two or three to a row: at least `gap` mm between any
    two, each a little crooked and out of place. The cards come in reading order."""
    across = 3 if len(arts) > 4 else 2
    rows = -(-len(arts) // across)
    # mm; two degrees on a card's height take 3.1 mm
    cell = (
        CARD[0] + gap + 4.5,
        CARD[1] + gap + 4.5,
    )
    page = (round((across * cell[0] + 8) / MM * dpi), round((rows * cell[1] + 8) / MM * dpi))
    laid = []
    for at in range(len(arts)):
        x = 4 + (at % across + 0.5) * cell[0] + rng.uniform(-0.7, 0.7)
        y = 4 + (at // across + 0.5) * cell[1] + rng.uniform(-0.7, 0.7)
        size = (CARD[0] + rng.gauss(0, 0.12), CARD[1] + rng.gauss(0, 0.12))
        laid.append(
            Laid((x / MM * dpi, y / MM * dpi), max(-2.0, min(2.0, rng.gauss(0, 0.8))), size)
        )
    return scan(arts, laid, scanner or Scanner.any(rng, bed), rng, dpi=dpi, page=page)


def turned_over(fronts: Scan, backs: list[Image.Image], rng: random.Random, how: str) -> Scan:
    """The sheet of backs: the same cards in their places after the sheet was turned over along its
    `long side` or its `short side` and laid on the bed a little elsewhere. Sheets here are higher
    than wide. Backs come in the order of their fronts."""
    width, height = fronts.picture.size
    move = (rng.uniform(-20, 20), rng.uniform(-20, 20))
    laid = []
    for lies in fronts.laid:
        x, y = lies.middle
        x, y = (width - x, y) if how == "long side" else (x, height - y)
        laid.append(Laid((x + move[0], y + move[1]), -lies.angle, lies.size))
    return scan(
        backs, laid, Scanner.any(rng, fronts.bed), rng, dpi=fronts.dpi, page=(width, height)
    )
