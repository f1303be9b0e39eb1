"""Card edges, straight crops and levels, on scans whose truth is known, and beside OpenCV."""

from __future__ import annotations

import math
import random

import cv2
import numpy as np
import pytest
from PIL import Image, ImageChops, ImageStat
from support.card_art import Art, bordered, full_bleed, side, written
from support.scanned import CARD, Laid, Scan, Scanner, fed, scan

from tagger.imaging.card.background import bed_of, pixels
from tagger.imaging.card.card_edges import MM, Edges, NoEdges
from tagger.imaging.card.deskew import (
    ToneLevels,
    levelled,
    levels_for,
    straight,
    straightening,
    turned_corners,
    upright_turn,
)
from tagger.imaging.card.edges import BEYOND_MM, find_edges
from tagger.imaging.card.rough_sides import rough_sides


def drawn(seed: str, bed: str = "black", **how) -> tuple[Art, Scan]:
    rng = random.Random(seed)
    art = how.pop("make", bordered)(rng, "held")
    return art, fed(art.picture, rng, bed, **how)


def worst(edges: Edges, scan: Scan) -> float:
    return max(map(math.dist, edges.corners, scan.corners[0]))


@pytest.mark.parametrize("bed", ["black", "grey"])
@pytest.mark.parametrize("make", [bordered, full_bleed, written])
def test_the_corners_are_found_to_a_fraction_of_a_pixel(make, bed):
    _, scan = drawn(f"a card {bed}", bed, make=make)
    edges = find_edges(scan.picture, 300)
    assert isinstance(edges, Edges)
    assert worst(edges, scan) < 1.0
    assert abs(edges.angle - scan.laid[0].angle) < 0.03
    assert edges.width == pytest.approx(scan.laid[0].size[0], abs=0.1)
    assert edges.height == pytest.approx(scan.laid[0].size[1], abs=0.1)


def test_a_card_with_a_white_border_on_a_white_bed_is_found_or_not_said():
    near = far = 0
    for number in range(12):
        _, scan = drawn(f"white {number}", "white")
        edges = find_edges(scan.picture, 300)
        if isinstance(edges, Edges):
            near += worst(edges, scan) <= 3
            far += worst(edges, scan) > 3
    assert near >= 9
    assert far == 0


@pytest.mark.parametrize("dpi", [100, 150, 400, 600])
def test_other_resolutions_give_the_same_place(dpi):
    _, scan = drawn("fine", dpi=dpi)
    edges = find_edges(scan.picture, dpi)
    assert isinstance(edges, Edges)
    assert worst(edges, scan) < 3 * dpi / 300
    assert edges.dpi == dpi


def test_dots_per_inch_are_estimated_where_the_file_says_nothing():
    _, scan = drawn("unknown", dpi=220)
    edges = find_edges(scan.picture, None)
    assert isinstance(edges, Edges)
    assert edges.dpi == pytest.approx(220, rel=0.01)


def test_an_inner_frame_is_not_taken_for_the_card():
    """A dark border on a dark bed, a bright picture inside: the frame has straight edges, but not a
    card's size."""
    side = Image.new("RGB", (750, 1050), (22, 22, 24))
    side.paste((235, 190, 90), (60, 70, 690, 980))
    scanner = Scanner("black", 22, (0, 0, 1), (0, 0), 0, 3, 1.5, 0.6, 85)
    found = find_edges(fed(side, random.Random(3), scanner=scanner).picture, 300)
    assert isinstance(found, NoEdges)


def test_another_size_is_not_taken_for_a_card_unless_it_is_asked_for():
    rng = random.Random("mini")
    art = full_bleed(rng, "held").picture
    lies = Laid((410, 560), 0.7, (50.8, 76.2))
    page = scan([art], [lies], Scanner.any(rng, "black"), rng).picture
    assert isinstance(find_edges(page, 300), NoEdges)
    edges = find_edges(page, 300, size=(50.8, 76.2))
    assert isinstance(edges, Edges)
    assert edges.width == pytest.approx(50.8, abs=0.1)


def test_an_empty_bed_is_no_card():
    rng = random.Random(5)
    page = scan([], [], Scanner.any(rng, "grey"), rng).picture
    assert find_edges(page, 300) == NoEdges("no card", "nothing stands out")


def test_two_strips_at_opposite_rims_are_no_card():
    """A card that fills the scan, lighter than its own shadow at two rims: no side has rows enough
    for a line."""
    made = np.random.default_rng(0).normal(234, 1.2, (176, 125, 3))
    made[0, 78:] = made[-1, :46] = 218
    seen = pixels(Image.fromarray(made.clip(0, 255).astype(np.uint8)))
    assert isinstance(rough_sides(seen, bed_of(seen, 2)), NoEdges)


def test_edges_and_skew_agree_with_opencv():
    """OpenCV's minAreaRect (5.0) around what is lighter than a threshold: a white card on a black
    bed, where the two must agree. Its corners count from the middle of the first pixel, and its
    rectangle goes through the outermost ones."""
    for number in range(8):
        rng = random.Random(f"opencv {number}")
        scanner = Scanner("black", 16, (0, 0, 0), (0, 0), 0, 3, 1.0, 0.5, 0)
        page = fed(written(random.Random(1), "held").picture, rng, skew=4, scanner=scanner, dpi=300)
        edges = find_edges(page.picture, 300)
        grey = cv2.cvtColor(np.asarray(page.picture), cv2.COLOR_RGB2GRAY)
        mask = cv2.morphologyEx((grey > 110).astype(np.uint8), cv2.MORPH_OPEN, np.ones((9, 9)))
        contours, _ = cv2.findContours(mask, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
        middle, size, angle = cv2.minAreaRect(max(contours, key=cv2.contourArea))
        assert isinstance(edges, Edges)
        turned = (angle + 45) % 90 - 45
        assert abs((edges.angle - turned + 45) % 90 - 45) < 0.15
        assert (
            math.dist(
                [sum(v) / 4 for v in zip(*edges.corners, strict=True)], [v + 0.5 for v in middle]
            )
            < 1.0
        )
        long, short = max(size) + 1, min(size) + 1
        assert edges.height == pytest.approx(long / 300 * 25.4, abs=0.2)
        assert edges.width == pytest.approx(short / 300 * 25.4, abs=0.2)


@pytest.mark.parametrize("turn", [0, 90, 180, 270])
def test_a_straight_crop_is_the_card_that_was_printed(turn):
    art, page = drawn("crop", "black", make=full_bleed, skew=3)
    edges = find_edges(page.picture, 300)
    assert isinstance(edges, Edges)
    crop = straight(page.picture, edges, turn=turn)
    back = crop.rotate(turn, expand=True)  # Pillow turns the other way
    assert abs(back.width - 750) <= 4
    assert abs(back.height - 1050) <= 4
    off = ImageChops.difference(back.resize((150, 210)), art.picture.resize((150, 210)))
    assert max(ImageStat.Stat(off).mean) < 9


def test_a_margin_shows_so_much_of_the_bed():
    _, page = drawn("margin")
    edges = find_edges(page.picture, 300)
    assert isinstance(edges, Edges)
    plain, wide = straight(page.picture, edges), straight(page.picture, edges, margin=2.54)
    assert (wide.width - plain.width, wide.height - plain.height) == (60, 60)
    rim = np.asarray(wide.convert("L"))[:20].mean()
    assert abs(rim - np.asarray(page.picture.convert("L"))[:6].mean()) < 12
    assert straight(page.picture, edges, dpi=75).width == pytest.approx(plain.width / 4, abs=1)


@pytest.mark.parametrize("turn", [0, 90])
def test_a_piece_of_a_straight_card_is_resampled_alone(turn):
    """Reading looks at a fifth of a card: the rest of it is never made."""
    _, page = drawn("piece")
    edges = find_edges(page.picture, 300)
    assert isinstance(edges, Edges)
    made = straightening(page.picture, edges, 0.0, turn, 200)
    whole = straight(page.picture, edges, turn=turn, dpi=200)
    assert whole.size == made.size
    box = (31, 47, 333, 142)
    off = ImageChops.difference(made.part(box), whole.crop(box))
    assert max(high for _, high in ImageStat.Stat(off).extrema) <= 1


def test_a_card_on_its_side_is_stood_up():
    art, page = drawn("lying", make=full_bleed, sideways=True)
    edges = find_edges(page.picture, 300)
    assert isinstance(edges, Edges)
    assert edges.sideways
    crop = straight(page.picture, edges, turn=upright_turn(edges))
    assert crop.height > crop.width
    ways = [crop, crop.rotate(180)]
    off = [
        ImageStat.Stat(
            ImageChops.difference(way.resize((75, 105)), art.picture.resize((75, 105)))
        ).mean[0]
        for way in ways
    ]
    assert min(off) < 9


def test_the_corner_that_comes_first_after_a_turn():
    corners = ((0.0, 0.0), (10.0, 0.0), (10.0, 14.0), (0.0, 14.0))
    # Turned clockwise by a quarter, the left lower corner comes to lie left above.
    assert turned_corners(corners, 90) == ((0.0, 14.0), (0.0, 0.0), (10.0, 0.0), (10.0, 14.0))
    assert turned_corners(corners, 180)[0] == (10.0, 14.0)
    with pytest.raises(ValueError, match="45"):
        straight(Image.new("RGB", (9, 9)), Edges(corners, 0, 1, 1, 300, 1, True), turn=45)


def test_a_dark_card_is_brightened_and_another_left_alone():
    rng = random.Random("levels")
    light = side(rng, "held").picture.point([min(255, 60 + value) for value in range(256)] * 3)
    dark = light.point([value // 4 for value in range(256)] * 3)
    assert levels_for(light) == ToneLevels()
    assert levelled(light, ToneLevels()) is light
    better = levelled(dark, levels_for(dark))
    assert (
        ImageStat.Stat(better.convert("L")).mean[0]
        > 1.8 * ImageStat.Stat(dark.convert("L")).mean[0]
    )
    assert ImageStat.Stat(dark.convert("L")).mean[0] < 70  # the picture that was given is as it was


def test_levels_keep_the_order_of_greys():
    table = levelled(Image.linear_gradient("L"), ToneLevels(10, 180, 1.6))
    column = np.asarray(table)[:, 0].astype(int)
    assert (np.diff(column) >= 0).all()
    assert (column[10], column[180]) == (0, 255)


def test_the_truth_of_the_drawn_scans_is_a_card():
    """The drawing itself: a rectangle of the known size (2.5 x 3.5 in, common practice), turned
    clockwise."""
    a, b, c, d = Laid((400, 500), 10).corners(300)
    assert math.dist(a, b) == pytest.approx(CARD[0] / 25.4 * 300)
    assert math.dist(b, c) == pytest.approx(math.dist(a, d)) == pytest.approx(CARD[1] / 25.4 * 300)
    assert b[1] > a[1]


@pytest.mark.parametrize("cut", [0.0, 3.0, 10.0])
def test_no_edges_are_given_that_lie_beyond_the_picture(cut: float) -> None:
    """A side that was assumed there, by the card's size, is seen nowhere: of a card that goes on
    beyond the scan by more than BEYOND_MM no edges are given."""
    high = round(1080 - cut / MM * 300)
    levels = np.full((max(high, 1080) + 30, 810, 3), 10.0)
    levels[30:1080, 30:780] = (200, 190, 170)
    levels[60:1050, 60:750] = np.random.default_rng(1).normal(120, 40, (990, 690, 1))
    picture = Image.fromarray(
        levels[: high + (30 if cut == 0 else 0)].clip(0, 255).astype(np.uint8)
    )
    found = find_edges(picture, 300.0, own_size=True)
    assert isinstance(found, Edges) == (cut <= BEYOND_MM)
