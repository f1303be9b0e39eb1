"""Cards whose paper is nearly the bed's own white: print a millimetre from the edge, shadows on
some sides. Drawn here, so that the truth is known."""

from __future__ import annotations

import math
from pathlib import Path

import cv2
import numpy as np
import pytest
from PIL import Image

from tagger.core.audit.card_size import GAME, lot_size, settled, to_measure_again
from tagger.imaging.card.around.padding import without_padding
from tagger.imaging.card.card_edges import MM, Edges, NoEdges
from tagger.imaging.card.edges import find_edges
from tagger.imaging.card.lines import FittedLine
from tagger.imaging.card.refined_line import refine, steps_there
from tagger.imaging.seen_levels import SeenLevels
from tagger.imaging.survey.measure_lot import measure_scan

DPI, MARGIN, LEAN = 200, 60, 0.008  # pixels of bed, and the slope that a card lies at
Point = tuple[float, float]


def on_white(
    bed: float,
    paper: float,
    ink: float,
    border: float,
    size: Point = (63.5, 88.9),
    lamp: float = 1,
) -> tuple[Image.Image, list[Point]]:
    """A scan and its card's corners. Levels, mm; `lamp`: 1 above the card, -1 below, 0 all
    around it."""
    wide, high = (length / MM * DPI for length in size)
    turn = np.array([[1, -LEAN], [LEAN, 1]]) / math.hypot(1, LEAN)
    begin = np.array([MARGIN + 10.0, MARGIN])
    page = (round(wide) + 2 * MARGIN, round(high) + 2 * MARGIN)
    inset = border / MM * DPI

    def filled(corners: np.ndarray) -> np.ndarray:
        shape = np.zeros(page[::-1], np.uint8)
        at = np.round((corners - 0.5) * 256).astype(np.int32)
        cv2.fillConvexPoly(shape, at, 255, cv2.LINE_AA, 8)
        return shape.astype(np.float32) / 255

    whole = np.array([(0, 0), (wide, 0), (wide, high), (0, high)])
    middle = whole.mean(axis=0)
    inner = middle + (whole - middle) * (1 - 2 * inset / np.array([wide, high]))
    corners = whole @ turn.T + begin
    card, frame = filled(corners), filled(inner @ turn.T + begin)
    shade = cv2.warpAffine(card, np.float64([[1, 0, 0], [0, 1, 4.0 * lamp]]), page)
    shade = cv2.GaussianBlur(np.maximum(shade, card), (0, 0), 3.0) * (1 - card)
    seen = bed * (1 - 0.35 * shade) * (1 - card) + card * (paper + (ink - paper) * frame)
    seen = cv2.GaussianBlur(seen, (0, 0), 0.8) + np.random.default_rng(1).normal(0, 0.8, seen.shape)
    grey = Image.fromarray(np.clip(np.round(seen), 0, 255).astype(np.uint8))
    return grey.convert("RGB"), [tuple(at) for at in corners.tolist()]


@pytest.mark.parametrize("lamp", [1, -1])
@pytest.mark.parametrize(("bed", "paper", "ink"), [(244, 253, 40), (253, 241, 130)])
def test_print_beside_the_edge_is_not_taken_for_the_card_in_its_shadow(bed, paper, ink, lamp):
    """The print on one side and the end of the shadow on the other are as far apart as a card is
    long."""
    picture, corners = on_white(bed, paper, ink, 0.85, lamp=lamp)
    edges = find_edges(picture, DPI)
    assert isinstance(edges, Edges)
    # 3 pixels at 300 dots per inch
    assert all(math.dist(*both) <= 2 for both in zip(corners, edges.corners, strict=True))


def test_cards_of_63_by_88_mm_are_found_on_a_white_bed_as_well(tmp_path: Path):
    """Too far from 63.5 x 88.9 mm for a bed on which only the size tells an edge from a shadow, and
    no other size to tell the dealer of."""
    known, truth = {}, {}
    for number in range(4):
        picture, truth[f"{number}.png"] = on_white(248, 243 - number % 2, 60, 3.0, GAME, lamp=0)
        picture.save(tmp_path / f"{number}.png", dpi=(DPI, DPI))
        known[f"{number}.png"] = measure_scan(tmp_path, f"{number}.png")
    size, again = to_measure_again(known)
    assert size == GAME
    known = settled(known | {name: measure_scan(tmp_path, name, size) for name in again})
    assert lot_size(known.values()) == GAME
    for name, one in known.items():
        assert one.corners is not None
        assert all(math.dist(*both) <= 2 for both in zip(truth[name], one.corners, strict=True))
    assert to_measure_again(known) == (GAME, [])


def test_a_bed_that_is_seen_right_around_a_card_is_no_strip_that_was_filled_in(tmp_path: Path):
    """A millimetre of even white above and below: the card takes 98 in 100 of the height."""
    picture, corners = on_white(250, 60, 60, 3.0, lamp=0)
    box = (54, 52, 580, 771)
    flat = np.asarray(picture.crop(box)).astype(np.int16)
    Image.fromarray(np.where(flat > 246, 250, flat).astype(np.uint8)).save(
        tmp_path / "tight.png", dpi=(DPI, DPI)
    )
    known = measure_scan(tmp_path, "tight.png")
    assert known.corners is not None
    assert known.reached == ()
    truth = [(x - box[0], y - box[1]) for x, y in corners]
    assert all(math.dist(*both) <= 2 for both in zip(truth, known.corners, strict=True))


def test_a_bright_streak_ends_no_strip_that_was_filled_in():
    """An even bed, and a streak of the sensor's a millimetre from the scan's edge: behind it the
    bed is as before."""
    levels = np.random.default_rng(2).normal(24, 0.9, (560, 420, 3))
    levels[:, :14], levels[:, 14:16] = 24, 44
    picture = Image.fromarray(np.clip(np.round(levels), 0, 255).astype(np.uint8))
    assert without_padding(picture) == (picture, (0, 0))
    levels[:, 16:] += 12
    other = Image.fromarray(np.clip(np.round(levels), 0, 255).astype(np.uint8))
    assert without_padding(other)[1] == (15, 0)


def test_white_paper_on_a_grey_bed_is_no_sleeve():
    """A card of 67 x 95 mm, the size of many sleeves; the print on it as large as a usual card."""
    picture, corners = on_white(198, 222, 90, 3.05, (67.0, 95.0), lamp=0)
    edges = find_edges(picture, DPI, own_size=True)
    assert isinstance(edges, Edges)
    assert all(math.dist(*both) <= 2 for both in zip(corners, edges.corners, strict=True))


def test_where_the_size_is_not_known_print_is_not_taken_for_the_edge_of_white_paper():
    picture, _ = on_white(254, 253, 40, 1.2, (70.0, 120.0), lamp=0)
    edges = find_edges(picture, DPI, own_size=True)
    assert isinstance(edges, NoEdges)
    assert edges.size == pytest.approx((70.0, 120.0), abs=0.3)


def test_a_dark_border_on_a_dark_bed_is_no_sleeve():
    """Little lighter than the bed, as film is; but within a sleeve a card would be found."""
    picture, _ = on_white(28, 66, 170, 3.0, (59.0, 86.0), lamp=0)
    found = find_edges(picture, DPI, own_size=True)
    seen = (found.width, found.height) if isinstance(found, Edges) else found.size
    assert seen == pytest.approx((59.0, 86.0), abs=0.25)


def test_grain_agrees_with_any_line_and_makes_no_step():
    grain = np.random.default_rng(3).normal(28, 2, (400, 60))
    line = FittedLine(30.0, 0.0)
    for step, seen in ((0, False), (4, True)):
        levels = grain + np.where(np.arange(60) >= 30, step, 0)
        grey = np.clip(levels, 0, 255).astype(np.uint8)
        work = SeenLevels.of(np.repeat(grey[..., None], 4, axis=2))
        assert refine(work, line, (0, 400), 1).agree >= 0.5
        assert steps_there(work, line, (0, 400), 1) == seen
