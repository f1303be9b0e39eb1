"""Card sides for tests of what is measured on pixels: natural pictures and drawn ones, with the
borders known.

The natural pictures lie inside the wheel of scikit-image (BSD-3-Clause; its data folder names their
sources). They are two collections, so that what was tuned on one can be reported on the other.
Nothing here comes from the measuring."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources

from PIL import Image, ImageDraw, ImageFont, ImageOps

WIDTH, HEIGHT = 750, 1050  # 2.5 x 3.5 in at 300 dpi
PICTURES = {
    "tuning": (
        "astronaut.png",
        "coffee.png",
        "brick.png",
        "horse.png",
        "ihc.png",
        "clock_motion.png",
        "grass.png",
    ),
    "held": (
        "chelsea.png",
        "rocket.jpg",
        "motorcycle_left.png",
        "camera.png",
        "coins.png",
        "gravel.png",
        "color.png",
    ),
}
_WORDS = (
    "harbor",
    "gulls",
    "hauled",
    "tows",
    "buoys",
    "stoker",
    "1987",
    "light",
    "keeper",
    "season",
    "quay",
    "gaff",
    "won",
)
_FIRST = ("Ada", "Bo", "Cyr", "Dela", "Edo", "Fenn", "Gil", "Hana", "Ivo", "Jun", "Kit")
_LAST = (
    "Marsh",
    "Lunden",
    "Torwick",
    "Belova",
    "Kasell",
    "Renby",
    "Vosstad",
    "Holmann",
    "Duniri",
    "Pelolm",
)

Colour = tuple[int, int, int]


@dataclass(frozen=True)
class Art:
    """A printed side, 750 x 1050 pixels. `borders` are left, top, right, bottom in pixels; None
    where the picture runs off the edge (full bleed)."""

    picture: Image.Image
    borders: tuple[float, float, float, float] | None
    kind: str


@lru_cache(maxsize=32)
def _stored(name: str) -> Image.Image:
    with Image.open(str(resources.files("skimage") / "data" / name)) as picture:
        return picture.convert("RGB")


def natural(rng: random.Random, size: tuple[int, int], collection: str) -> Image.Image:
    """A part of one of the natural pictures, filling `size`."""
    whole = _stored(rng.choice(PICTURES[collection]))
    scale = rng.uniform(0.55, 1.0) * min(whole.width / size[0], whole.height / size[1])
    width, height = size[0] * scale, size[1] * scale
    x, y = rng.uniform(0, whole.width - width), rng.uniform(0, whole.height - height)
    part = whole.resize(size, Image.Resampling.BICUBIC, box=(x, y, x + width, y + height))
    return ImageOps.mirror(part) if rng.random() < 0.5 else part


def _name(rng: random.Random) -> str:
    return f"{rng.choice(_FIRST)} {rng.choice(_LAST)}".upper()


def _text(
    pen: ImageDraw.ImageDraw, at: tuple[float, float], text: str, size: float, fill: Colour
) -> None:
    pen.text(at, text, fill=fill, font=_font(size))


@lru_cache(maxsize=32)
def _font(size: float) -> ImageFont.FreeTypeFont | ImageFont.ImageFont:
    return ImageFont.load_default(size)


def _some(rng: random.Random, low: int, high: int) -> Colour:
    return rng.randint(low, high), rng.randint(low, high), rng.randint(low, high)


def paper(rng: random.Random, low: int = 226, high: int = 250) -> Colour:
    """The colour of unprinted card: white with a tint of yellow."""
    level = rng.randint(low, high)
    return level, level - rng.randint(0, 4), level - rng.randint(2, 14)


def full_bleed(rng: random.Random, collection: str) -> Art:
    """A picture up to the edge, with a caption bar or a badge."""
    side = natural(rng, (WIDTH, HEIGHT), collection)
    pen = ImageDraw.Draw(side)
    top = rng.randint(840, 930)
    if rng.random() < 0.6:
        pen.rectangle(
            (rng.choice((0, 60)), top, WIDTH, top + rng.randint(50, 90)), fill=_some(rng, 10, 245)
        )
    else:
        pen.ellipse((40, 50, 180, 190), fill=_some(rng, 10, 245))
    _text(pen, (90, top + 8), _name(rng), 44, _some(rng, 0, 255))
    return Art(side, None, "full bleed")


def bordered(
    rng: random.Random, collection: str, edge: Colour | None = None, kind: str = "bordered"
) -> Art:
    """A picture inside an even border, off centre as cutting leaves it; often with a line around
    the picture."""
    ink = edge or (paper(rng) if rng.random() < 0.6 else _some(rng, 20, 230))
    across, down = rng.uniform(26, 62), rng.uniform(26, 62)
    dx, dy = rng.uniform(-0.45, 0.45) * across, rng.uniform(-0.45, 0.45) * down
    edges = [round(v) for v in (across + dx, down + dy, across - dx, down - dy)]
    box = (edges[0], edges[1], WIDTH - edges[2], HEIGHT - edges[3])
    side = Image.new("RGB", (WIDTH, HEIGHT), ink)
    inner = natural(rng, (box[2] - box[0], box[3] - box[1]), collection)
    line = rng.choice((0, 0, 4, 8))
    pen = ImageDraw.Draw(inner)
    if line:
        far = _some(rng, 0, 90) if sum(ink) > 380 else _some(rng, 160, 255)
        for k in range(line):
            pen.rectangle((k, k, inner.width - 1 - k, inner.height - 1 - k), outline=far)
    pen.rectangle(
        (line, inner.height - 110, inner.width - 1 - line, inner.height - 40),
        fill=_some(rng, 10, 245),
    )
    _text(pen, (50, inner.height - 100), _name(rng), 46, _some(rng, 0, 255))
    side.paste(inner, box[:2])
    return Art(side, tuple(float(v) for v in edges), kind)  # type: ignore[arg-type]


def black_bordered(rng: random.Random, collection: str) -> Art:
    """A picture inside a border of black ink."""
    level = rng.randint(30, 52)
    return bordered(
        rng,
        collection,
        (level, level - rng.randint(0, 4), level - rng.randint(0, 4)),
        "black border",
    )


def written(rng: random.Random, collection: str) -> Art:
    """A back: columns of figures and sentences on card, in boxes; no border that could be
    measured."""
    side = Image.new(
        "RGB", (WIDTH, HEIGHT), paper(rng) if rng.random() < 0.7 else _some(rng, 150, 235)
    )
    pen = ImageDraw.Draw(side)
    ink = _some(rng, 0, 90)
    pen.rectangle((40, 44, WIDTH - 44, 160), fill=_some(rng, 40, 200))
    _text(pen, (60, 60), f"{rng.randint(1, 700)}  {_name(rng)}", 48, (250, 250, 244))
    for line in range(190, 900, 34):
        words = " ".join(rng.choice(_WORDS) for _ in range(rng.randint(4, 9)))
        _text(pen, (52, line), f"{words} {rng.randint(1, 400)}", 25, ink)
    if rng.random() < 0.5:
        pen.rectangle((40, 930, WIDTH - 44, 1006), outline=ink, width=3)
    return Art(side, None, "written")


def plain_back(rng: random.Random, collection: str) -> Art:
    """A back with next to nothing on it."""
    side = Image.new("RGB", (WIDTH, HEIGHT), paper(rng))
    _text(ImageDraw.Draw(side), (300, 1000), _name(rng), 18, (110, 104, 98))
    return Art(side, None, "plain")


def blank(rng: random.Random, collection: str) -> Art:
    """A side on which nothing is printed."""
    return Art(
        Image.new(
            "RGB", (WIDTH, HEIGHT), paper(rng) if rng.random() < 0.7 else _some(rng, 120, 235)
        ),
        None,
        "blank",
    )


def foil(rng: random.Random, collection: str) -> Art:
    """A shiny side: bands of grey that scan dark, with a picture set in."""
    band = Image.linear_gradient("L").rotate(90).resize((WIDTH, HEIGHT))
    shine = band.point(
        [30 + round(70 * abs((value * 5 % 510) - 255) / 255) for value in range(256)]
    ).convert("RGB")
    shine.paste(natural(rng, (520, 700), collection), (115, 120))
    _text(ImageDraw.Draw(shine), (140, 880), _name(rng), 54, (214, 206, 190))
    return Art(shine, None, "foil")


Maker = Callable[[random.Random, str], Art]
FRONTS: tuple[tuple[Maker, int], ...] = (
    (full_bleed, 28),
    (bordered, 44),
    (black_bordered, 6),
    (foil, 6),
)


def side(rng: random.Random, collection: str) -> Art:
    """Any of them, in the shares in which they come: 16 in 100 are backs."""
    makers, weights = zip(*FRONTS, (written, 16), strict=True)
    return rng.choices(makers, weights)[0](rng, collection)
