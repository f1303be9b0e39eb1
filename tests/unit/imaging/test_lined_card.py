"""Cards that only their lines tell from what they lie on: a mat with squares, a white backing with
streaks, a scan that goes to the card's own edge; and scans that say wrong dots per inch."""

from __future__ import annotations

import math
import random
from collections.abc import Callable

import numpy as np
import pytest
from PIL import Image, ImageDraw, ImageFilter

from tagger.imaging.card.by_lines.rectangles import rectangles
from tagger.imaging.card.card_edges import Edges, NoEdges
from tagger.imaging.survey.faults import place_card

Corners = tuple[tuple[float, float], ...]
MM = 25.4


def lying(size: tuple[float, float], degrees: float, middle: tuple[float, float]) -> Corners:
    """The corners of a card of that width and height in pixels."""
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    ends = [(-size[0] / 2, -size[1] / 2), (size[0] / 2, -size[1] / 2)]
    ends += [(-x, -y) for x, y in ends]
    return tuple((middle[0] + x * c - y * s, middle[1] + x * s + y * c) for x, y in ends)


def mat(size: tuple[int, int], square: int, rng: random.Random) -> Image.Image:
    """A green mat with lines, which make squares."""
    page = Image.new("RGB", size, (70, 105, 80))
    draw = ImageDraw.Draw(page)
    first = rng.randrange(square)
    for at in range(first - square, max(size), square):
        draw.line((at, 0, at, size[1]), (150, 165, 140), 3)
        draw.line((0, at, size[0], at), (150, 165, 140), 3)
    return page


def streaked(size: tuple[int, int], rng: random.Random) -> Image.Image:
    """A white backing with streaks down all of it."""
    page = Image.new("RGB", size, (238, 237, 233))
    draw = ImageDraw.Draw(page)
    for _ in range(6):
        at = rng.randrange(size[0])
        level = rng.randint(170, 215)
        draw.line((at, 0, at, size[1]), (level,) * 3, rng.randint(1, 3))
    return page


def with_card(
    page: Image.Image, corners: Corners, rim: tuple[int, int, int], rng: random.Random
) -> Image.Image:
    """A card with a rim of that colour, a picture and lines of text on it."""
    middle = [sum(place) / 4 for place in zip(*corners, strict=True)]

    def within(share_x: float, share_y: float) -> list[tuple[float, float]]:
        return [
            (middle[0] + (x - middle[0]) * share_x, middle[1] + (y - middle[1]) * share_y)
            for x, y in corners
        ]

    draw = ImageDraw.Draw(page)
    draw.polygon(corners, rim)
    draw.polygon(within(0.9, 0.93), tuple(rng.randrange(256) for _ in range(3)))
    for _ in range(60):
        x, y = (rng.uniform(0.6, 1.4) * place for place in middle)
        long = rng.uniform(10, 90)
        colour = tuple(rng.randrange(256) for _ in range(3))
        if long < 50:
            draw.ellipse((x, y, x + long, y + long), colour)
        else:
            draw.line((x, y, x + long, y + rng.uniform(-9, 9)), colour, 3)
    soft = np.asarray(page.filter(ImageFilter.GaussianBlur(0.9)), np.float32)
    noise = np.random.default_rng(rng.randrange(2**32)).normal(0, 2.0, soft.shape)
    return Image.fromarray(np.clip(soft + noise, 0, 255).astype(np.uint8))


def off(found: Edges, corners: Corners) -> float:
    """By how many pixels the worst corner is off."""
    return max(math.dist(*both) for both in zip(found.corners, corners, strict=True))


@pytest.mark.parametrize("number", range(4))
@pytest.mark.parametrize("bed", [streaked, lambda size, rng: mat(size, 118, rng)])
def test_a_card_is_found_by_its_lines_on_a_bed_with_lines_of_its_own(
    bed: Callable[[tuple[int, int], random.Random], Image.Image], number: int
) -> None:
    rng = random.Random(number)
    corners = lying((750, 1050), rng.uniform(-2, 2), (480 + rng.uniform(-20, 20), 640))
    rim = ((20, 20, 22), (235, 200, 60), (150, 30, 30), (30, 40, 90))[number]
    page = with_card(bed((960, 1280), rng), corners, rim, rng)
    found, dpi = place_card(page, 300.0)
    assert isinstance(found, Edges)
    assert dpi == pytest.approx(300, abs=1)
    assert off(found, corners) <= 3


@pytest.mark.parametrize("number", range(4))
def test_the_squares_of_a_mat_are_no_card_of_a_scan_without_dots_per_inch(number: int) -> None:
    """Five squares by seven have a usual card's shape."""
    rng = random.Random(number)
    corners = lying((500, 700), rng.uniform(-2, 2), (480, 640))
    page = with_card(mat((960, 1280), 132, rng), corners, (24, 22, 20), rng)
    found, _ = place_card(page, None)
    assert isinstance(found, NoEdges) or off(found, corners) <= 3


def test_a_line_that_goes_on_counts_less_than_one_that_ends_at_the_corner() -> None:
    rng = random.Random(7)
    corners = lying((500, 700), 1.0, (480, 640))
    page = with_card(mat((960, 1280), 132, rng), corners, (24, 22, 20), rng)
    # the card, or the frame within it, and no squares of the mat
    for one in rectangles(page)[:6]:
        assert max(map(math.dist, one.corners, corners)) <= 40
    assert rectangles(Image.new("RGB", (300, 400), (90, 90, 90))) == []
    assert rectangles(Image.new("RGB", (300, 8), (90, 90, 90))) == []


@pytest.mark.parametrize(("said", "true"), [(200.0, 300.0), (300.0, 200.0), (600.0, 300.0)])
def test_a_usual_card_on_a_scan_with_the_dots_of_another_setting_is_no_large_card(
    said: float, true: float
) -> None:
    rng = random.Random(3)
    size = (63.5 / MM * true, 88.9 / MM * true)
    middle = (size[0] / 2 + 60, size[1] / 2 + 60)
    corners = lying(size, 0.7, middle)
    page = Image.new("RGB", (round(2 * middle[0]), round(2 * middle[1])), (40, 42, 45))
    found, dpi = place_card(with_card(page, corners, (235, 230, 220), rng), said)
    assert isinstance(found, Edges)
    assert dpi == pytest.approx(true, rel=0.02)
    assert off(found, corners) <= 3
