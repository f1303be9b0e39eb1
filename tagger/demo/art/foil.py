"""Metal foil, rope and grain: the materials that frames and stamps are made of. Lengths are
pixels."""

from __future__ import annotations

import math
import random
from collections.abc import Sequence

from PIL import Image, ImageChops, ImageFilter

from tagger.demo.art.brush import Colour, Point, darker, fade, fill, lighter, limb, stroke
from tagger.demo.art.letters import Face, lettering, measure

# Dark, middle and bright by turns: what makes a flat colour look like metal is its contrast.
GOLD: tuple[Colour, ...] = (
    (122, 84, 22), (232, 190, 92), (255, 240, 182), (196, 146, 48), (244, 212, 122),
    (150, 104, 30),
)  # fmt: skip
SILVER: tuple[Colour, ...] = (
    (112, 118, 126), (206, 212, 218), (250, 252, 255), (158, 164, 172), (228, 232, 238),
    (124, 130, 138),
)  # fmt: skip
RED: tuple[Colour, ...] = (
    (92, 8, 18), (206, 34, 40), (255, 128, 104), (150, 14, 26), (232, 62, 52),
    (104, 10, 22),
)  # fmt: skip
NEON: tuple[Colour, ...] = (
    (40, 190, 60), (190, 255, 70), (246, 255, 170), (90, 226, 60), (214, 255, 92),
    (44, 200, 90),
)  # fmt: skip
MIDNIGHT: tuple[Colour, ...] = (
    (10, 14, 40), (34, 48, 110), (126, 140, 220), (16, 20, 60), (60, 60, 140),
    (8, 10, 34),
)  # fmt: skip
RAINBOW: tuple[Colour, ...] = (
    (240, 120, 150), (250, 206, 120), (236, 250, 160), (130, 230, 190), (120, 180, 250),
    (190, 140, 246), (250, 140, 190),
)  # fmt: skip


def grain(
    size: tuple[int, int], rng: random.Random, strength: int, blur: float = 0.0
) -> Image.Image:
    """Noise around middle grey ("L"); ``strength`` is the largest distance from 128."""
    noise = Image.frombytes("L", size, rng.randbytes(size[0] * size[1]))
    if blur:
        noise = noise.filter(ImageFilter.GaussianBlur(blur))
    return noise.point([round(128 + (v - 127.5) * strength / 127.5) for v in range(256)])


def roughened(picture: Image.Image, noise: Image.Image) -> Image.Image:
    """The RGB picture made lighter and darker by noise around middle grey."""
    bands = [ImageChops.add(band, noise, 1.0, -128) for band in picture.split()]
    return Image.merge("RGB", bands)


def foil(
    size: tuple[int, int], metal: Sequence[Colour], rng: random.Random, bands: int = 2
) -> Image.Image:
    """Brushed foil with light running slantwise over it."""
    # Drawn half as fine: it has soft slopes only, and covers the whole of a card.
    w, h = -(-size[0] // 2), -(-size[1] // 2)
    shades = [metal[i % len(metal)] for i in range(bands * len(metal))]
    shift = rng.random() * 0.5 / len(shades)
    # All stops but the first are shifted, so that no two cards catch the light alike.
    places = [0.0, *(i / (len(shades) - 1) + shift for i in range(1, len(shades)))]
    stops = [(min(1.0, at), shade) for at, shade in zip(places, shades, strict=True)]
    line = fade((w + h, 1), stops, across=True).resize((w + h, h), Image.Resampling.NEAREST)
    sheen = line.transform(
        (w, h), Image.Transform.AFFINE, (1, 0.55, 0, 0, 1, 0), Image.Resampling.NEAREST
    )
    # Drawn out sideways, noise becomes the fine lines of a brush.
    brushed = grain((max(1, w // 12), h), rng, 14).resize((w, h), Image.Resampling.BILINEAR)
    return roughened(sheen, brushed).resize(size, Image.Resampling.BILINEAR)


def stamp(
    picture: Image.Image,
    at: Point,
    text: str,
    face: Face,
    metal: Sequence[Colour],
    rng: random.Random,
    anchor: str = "m",
) -> None:
    """Letter a line in foil that is pressed into the card: metal with a dark and a light edge."""
    mask, start, rise = lettering(text, face)
    x = round(at[0] - {"l": 0.0, "m": 0.5, "r": 1.0}[anchor] * measure(text, face)) - start
    y = round(at[1]) - rise
    # A dark rim and a light edge below: the foil lies in a dent, lit from above.
    edge = max(1, round(face.size * 0.035))
    halo = mask.filter(ImageFilter.MaxFilter(2 * edge + 1))
    picture.paste((34, 24, 14), (x, y), halo.point([round(v * 0.7) for v in range(256)]))
    picture.paste(
        (255, 255, 255), (x + edge, y + edge), mask.point([round(v * 0.35) for v in range(256)])
    )
    picture.paste(foil(mask.size, metal, rng, 1), (x, y), mask)


def rounded_path(box: tuple[float, float, float, float], radius: float, step: float) -> list[Point]:
    """Points every ``step`` pixels around a box with rounded corners, clockwise from the left upper
    corner."""
    left, top, right, bottom = box
    points: list[Point] = []
    corners = (
        (right - radius, top + radius, -90),
        (right - radius, bottom - radius, 0),
        (left + radius, bottom - radius, 90),
        (left + radius, top + radius, 180),
    )  # fmt: skip
    turns = max(2, round(radius * math.pi / 2 / step))
    previous: Point = (left + radius, top)
    for cx, cy, angle in corners:
        arc = [math.radians(angle + 90 * i / turns) for i in range(turns + 1)]
        first = (cx + radius * math.cos(arc[0]), cy + radius * math.sin(arc[0]))
        length = math.dist(previous, first)
        pieces = max(1, round(length / step))
        points += [
            (
                previous[0] + (first[0] - previous[0]) * i / pieces,
                previous[1] + (first[1] - previous[1]) * i / pieces,
            )
            for i in range(pieces)
        ]
        points += [(cx + radius * math.cos(a), cy + radius * math.sin(a)) for a in arc[:-1]]
        previous = (cx + radius * math.cos(arc[-1]), cy + radius * math.sin(arc[-1]))
    return points


def rope(picture: Image.Image, path: Sequence[Point], thick: float, colour: Colour) -> None:
    """A twisted rope along a closed path whose points are about half the rope's thickness apart."""
    closed = [*path, path[0]]
    # Shadow, then the rope in its dark, then each strand: what is left of the dark is the gaps.
    stroke(
        picture,
        [(x + thick * 0.2, y + thick * 0.25) for x, y in closed],
        (0, 0, 0, 90),
        thick * 1.2,
    )
    stroke(picture, closed, darker(colour, 0.55), thick)
    for i, (x, y) in enumerate(path):
        after = path[(i + 1) % len(path)]
        length = max(1e-6, math.dist((x, y), after))
        tx, ty = (after[0] - x) / length, (after[1] - y) / length
        a = (x - tx * thick * 0.42 + ty * thick * 0.4, y - ty * thick * 0.42 - tx * thick * 0.4)
        b = (x + tx * thick * 0.42 - ty * thick * 0.4, y + ty * thick * 0.42 + tx * thick * 0.4)
        fill(
            picture,
            limb(
                [a, ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2), b],
                (0.1 * thick, 0.42 * thick, 0.1 * thick),
            ),
            colour,
        )
        fill(
            picture,
            limb([a, ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)], (0.05 * thick, 0.16 * thick)),
            lighter(colour, 0.5),
        )
