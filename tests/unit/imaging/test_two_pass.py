"""Pictures that are straightened along columns and rows, beside Pillow's look-up of each pixel."""

from __future__ import annotations

import math

import numpy as np
import pytest
from PIL import Image

from tagger.core.model.pose import Pose
from tagger.imaging.card.deskew import BED, Affine
from tagger.imaging.scan.affine_resample import resampling
from tagger.imaging.scan.two_pass import two_pass

FINE = 4  # a picture that is so much finer says what is right


def drawn(seed: int) -> Image.Image:
    """Edges of all kinds and some noise, four times as fine."""
    page = Image.effect_noise((1600, 2000), 40).convert("RGB")
    source = np.random.default_rng(seed)
    for _ in range(60):
        x, y, wide, high = source.integers((0, 0, 20, 20), (1500, 1900, 400, 300)).tolist()
        page.paste(tuple(source.integers(0, 256, 3).tolist()), (x, y, x + wide, y + high))
    return page.resize(page.size, Image.Resampling.BICUBIC, box=(1, 1, 1599, 1999))


def about_middle(degrees: float, scale: float, size: tuple[int, int], by: int = 1) -> Affine:
    a, b = scale * math.cos(math.radians(degrees)), scale * math.sin(math.radians(degrees))
    wide, high = size[0] * by / 2, size[1] * by / 2
    middle = (200.0 * by, 250.0 * by)
    return a, -b, middle[0] - a * wide + b * high, b, a, middle[1] - b * wide - a * high


def look_up(picture: Image.Image, way: Affine, size: tuple[int, int]) -> Image.Image:
    how = (Image.Transform.AFFINE, way, Image.Resampling.BICUBIC)
    return picture.transform(size, *how, fillcolor=BED)


def off(one: Image.Image, other: Image.Image) -> float:
    return float(np.sqrt(np.square(np.asarray(one, float) - np.asarray(other, float)).mean()))


@pytest.mark.parametrize(
    ("degrees", "scale"), [(0.0, 1.0), (0.05, 1.0012), (-0.7, 0.9985), (1.4, 1.0), (-2.4, 1.001)]
)
def test_it_is_nearer_to_what_is_right_than_a_look_up(degrees: float, scale: float) -> None:
    size = (300, 400)
    fine = drawn(round(degrees * 10) + 99)
    picture = fine.reduce(FINE)
    large = (size[0] * FINE, size[1] * FINE)
    right = look_up(fine, about_middle(degrees, scale, size, FINE), large).reduce(FINE)
    way = about_middle(degrees, scale, size)
    made = two_pass(picture, way, size)
    assert made is not None
    assert made.size == size
    assert off(made, right) <= 1.02 * off(look_up(picture, way, size), right)


def test_what_lies_beside_is_bed_and_an_even_colour_stays() -> None:
    white = Image.new("RGB", (400, 500), "white")
    made = two_pass(white, about_middle(1.0, 1.0, (440, 540)), (440, 540))
    assert made is not None
    assert made.getpixel((2, 2)) == BED
    inside = made.crop((40, 40, 400, 500))
    assert inside.getextrema() == ((255, 255),) * 3


def test_what_turns_or_scales_too_much_is_left_to_others() -> None:
    white = Image.new("RGB", (400, 500), "white")
    assert two_pass(white, about_middle(0, 1.0, (2000, 2001)), (2000, 2001)) is None
    for degrees, scale in ((3.0, 1.0), (-3.0, 1.0), (90.0, 1.0), (180.0, 1.0), (0.5, 1.01)):
        assert two_pass(white, about_middle(degrees, scale, (300, 400)), (300, 400)) is None


@pytest.mark.parametrize("turn", [0, 90, 180, 270])
@pytest.mark.parametrize("orientation", [1, 2, 6])
def test_a_card_that_lies_on_its_side_comes_out_the_same(turn: int, orientation: int) -> None:
    picture = drawn(turn + orientation).reduce(FINE)
    wide, high = (400, 500) if orientation < 5 else (500, 400)
    corners = ((52.0, 60.0), (wide - 40.0, 64.0), (wide - 46.0, high - 41.0), (46.0, high - 45.0))
    seen = resampling(picture.size, orientation, None, Pose(turn=turn, corners=corners, dpi=100))
    size = (round(seen.size[0]), round(seen.size[1]))
    asked = (picture, (1.0, 1.0), (0.0, 0.0, *seen.size), size, Image.Resampling.BICUBIC)
    looked: list[Affine] = []

    def look(pixels: Image.Image, way: Affine, target: tuple[int, int]) -> Image.Image | None:
        looked.append(way)
        return two_pass(pixels, way, target)

    made = seen.paint(*asked, look)
    assert off(made, seen.paint(*asked)) < 4
    assert min(looked[0][0], looked[0][4]) > 0.9
