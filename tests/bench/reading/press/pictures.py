"""Artwork of the second press: made by rule, with figures that wear numbers."""

from __future__ import annotations

import math
import random
from pathlib import Path

import numpy as np
from PIL import Image, ImageChops, ImageDraw, ImageFilter

from bench.reading.press.typefaces import face

Colour = tuple[int, int, int]


def colour(rng: random.Random, low: int = 20, high: int = 235) -> Colour:
    """Any colour."""
    return (rng.randint(low, high), rng.randint(low, high), rng.randint(low, high))


def picture(rng: random.Random, size: tuple[int, int], kind: int, bold: Path) -> Image.Image:
    """A picture of a kind; of two kinds in three with a figure in front."""
    ground = _GROUNDS[kind % len(_GROUNDS)](rng, size)
    if kind % 3:
        _figure(ground, rng, bold)
    return ground.filter(ImageFilter.GaussianBlur(0.8))


def _mosaic(rng: random.Random, size: tuple[int, int]) -> Image.Image:
    made = np.random.default_rng(rng.randrange(2**32))
    across, down = size[0] // 6, size[1] // 6
    seeds = made.random((40, 2)) * (down, across)
    grid = np.stack(np.mgrid[:down, :across], axis=-1)[:, :, None]
    nearest = ((grid - seeds) ** 2).sum(-1).argmin(-1)
    tints = made.integers(30, 240, (40, 3), dtype=np.uint8)
    return Image.fromarray(tints[nearest]).resize(size, Image.Resampling.BICUBIC)


def _sunburst(rng: random.Random, size: tuple[int, int]) -> Image.Image:
    image, tints = Image.new("RGB", size, colour(rng)), (colour(rng), colour(rng))
    draw, (x, y) = ImageDraw.Draw(image), (size[0] * rng.random(), size[1] * rng.random())
    step, reach = math.tau / 36, sum(size)
    for ray in range(36):
        ends = [
            (x + reach * math.cos(turn), y + reach * math.sin(turn))
            for turn in (ray * step, (ray + 1) * step)
        ]
        draw.polygon([(x, y), *ends], fill=tints[ray % 2])
    return image


def _hills(rng: random.Random, size: tuple[int, int]) -> Image.Image:
    top, low = np.array(colour(rng, 120, 250)), np.array(colour(rng, 60, 200))
    share = np.linspace(0, 1, size[1])[:, None, None]
    sky = (top * (1 - share) + low * share) * np.ones((1, size[0], 1))
    image = Image.fromarray(sky.astype(np.uint8))
    draw = ImageDraw.Draw(image)
    for hill in range(5):
        height, phase = size[1] * (0.45 + 0.11 * hill), rng.random() * 7
        line = [
            (x, height + 40 * math.sin(x / (60 + 25 * hill) + phase))
            for x in range(0, size[0] + 8, 8)
        ]
        draw.polygon([*line, (size[0], size[1]), (0, size[1])], fill=colour(rng, 20, 190))
    return image


def _cloud(rng: random.Random, size: tuple[int, int]) -> Image.Image:
    made, total = np.random.default_rng(rng.randrange(2**32)), np.zeros((size[1], size[0], 3))
    for cells in (3, 8, 24, 90):
        small = (made.random((cells, cells, 3)) * 255).astype(np.uint8)
        layer = Image.fromarray(small).resize(size, Image.Resampling.BICUBIC)
        total += np.asarray(layer, float) / cells**0.5
    total -= total.min()
    return Image.fromarray((total / total.max() * 255).astype(np.uint8))


def _dots(rng: random.Random, size: tuple[int, int]) -> Image.Image:
    ground, ink = colour(rng, 150, 250), colour(rng, 10, 120)
    image = Image.new("RGB", size, ground)
    draw, phase = ImageDraw.Draw(image), rng.random() * 7
    for x in range(0, size[0], 11):
        for y in range(0, size[1], 11):
            radius = 3.6 + 3 * math.sin(x / 90 + phase) * math.cos(y / 130)
            draw.ellipse((x - radius, y - radius, x + radius, y + radius), fill=ink)
    return image


def _panes(rng: random.Random, size: tuple[int, int]) -> Image.Image:
    image = Image.new("RGB", size, colour(rng))
    for _ in range(14):
        layer = Image.new("RGB", size, (0, 0, 0))
        box = (
            sorted(rng.randrange(size[0]) for _ in "ab"),
            sorted(rng.randrange(size[1]) for _ in "ab"),
        )
        ImageDraw.Draw(layer).rectangle(
            (box[0][0], box[1][0], box[0][1], box[1][1]), fill=colour(rng, 0, 90)
        )
        change = ImageChops.add if rng.random() < 0.5 else ImageChops.subtract
        image = change(image, layer)
    return image


_GROUNDS = (_mosaic, _sunburst, _hills, _cloud, _dots, _panes)


def _figure(image: Image.Image, rng: random.Random, bold: Path) -> None:
    """Someone with a number on the chest, which is not the card's."""
    draw, (wide, high) = ImageDraw.Draw(image), image.size
    middle, shirt, ink = wide * rng.uniform(0.4, 0.6), colour(rng, 20, 130), colour(rng, 190, 255)
    skin = (rng.randint(90, 235), rng.randint(70, 180), rng.randint(50, 150))
    head, shoulder = high * 0.16, high * 0.42
    draw.polygon(
        [
            (middle - wide * 0.26, high),
            (middle - wide * 0.2, shoulder),
            (middle + wide * 0.2, shoulder),
            (middle + wide * 0.26, high),
        ],
        fill=shirt,
    )
    draw.ellipse((middle - wide * 0.1, head, middle + wide * 0.1, shoulder + 10), fill=skin)
    draw.pieslice(
        (middle - wide * 0.11, head - 12, middle + wide * 0.11, head + 110), 180, 360, fill=shirt
    )
    if rng.random() < 0.5:
        number = str(rng.randint(1, 99))
        draw.text((middle, high * 0.62), number, fill=ink, font=face(bold, high // 7), anchor="mm")
