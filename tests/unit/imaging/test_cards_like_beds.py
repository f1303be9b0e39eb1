"""Cards that are nearly as light as the bed: in another colour, in a long shadow, or with print all
along an edge that is hardly seen."""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt
import pytest
from PIL import Image, ImageFilter

from tagger.imaging.card.card_edges import CARD_MM, MM, Corners, Edges
from tagger.imaging.card.card_side import CardScale, CardSide
from tagger.imaging.card.card_sides import Sides
from tagger.imaging.card.edge_pairs import Plane
from tagger.imaging.card.edges import find_edges
from tagger.imaging.card.lines import FittedLine
from tagger.imaging.seen_levels import SeenLevels

Levels = npt.NDArray[np.float64]
ROOM = 6.0  # mm of bed around a card
OTHER = (59.0, 86.0)  # mm


def page(bed: float, size: tuple[float, float], dpi: int) -> tuple[Levels, tuple[slice, slice]]:
    """A bare bed, and the rows and columns of a card of that size in its middle."""
    high, wide = (round((mm + 2 * ROOM) / MM * dpi) for mm in size[::-1])
    down, across = (round(mm / MM * dpi) for mm in size[::-1])
    top, left = (high - down) // 2, (wide - across) // 2
    return np.full((high, wide, 3), float(bed)), (
        slice(top, top + down),
        slice(left, left + across),
    )


def scan_of(levels: Levels) -> Image.Image:
    """The levels as a machine sees them, with grain and a little out of focus."""
    grain = np.random.default_rng(4).normal(0, 1.5, levels.shape)
    picture = Image.fromarray(np.clip(levels + grain, 0, 255).astype(np.uint8))
    return picture.filter(ImageFilter.GaussianBlur(0.7))


def off(found: object, card: tuple[slice, slice], dpi: int) -> float:
    """By how many pixels at 300 dpi the worst corner is off."""
    assert isinstance(found, Edges)
    rows, columns = card
    true: Corners = (
        (columns.start, rows.start),
        (columns.stop, rows.start),
        (columns.stop, rows.stop),
        (columns.start, rows.stop),
    )
    return max(math.dist(*both) for both in zip(true, found.corners, strict=True)) * 300 / dpi


def test_a_coloured_card_as_light_as_a_grey_bed_is_no_film():
    levels, card = page(138, OTHER, 200)
    levels[card] = (182, 48, 197)
    levels[card][60:-60, 60:-60] = 230
    found = find_edges(scan_of(levels), 200, own_size=True)
    assert off(found, card, 200) <= 2
    assert isinstance(found, Edges)
    assert found.contrast


@pytest.mark.parametrize(("dpi", "deep"), [(300, 18), (400, 14)])
def test_a_card_of_another_size_is_seen_past_long_shadows_on_both_sides(dpi, deep):
    """Of 2.2 mm: what stands out is 4.4 mm larger than the card; and on a scan of 400 dpi they fade
    as far away as on one of 300."""
    levels, card = page(120, OTHER, dpi)
    reach = round(2.2 / MM * dpi)
    fading = np.linspace(deep, 0, reach)[:, None, None]
    rows, columns = card
    levels[rows.stop : rows.stop + reach, columns] -= fading
    levels[rows.start - reach : rows.start, columns] -= fading[::-1]
    levels[card] = 225
    levels[card][80:-80, 80:-80] = (60, 90, 160)
    found = find_edges(scan_of(levels), dpi, own_size=True)
    assert off(found, card, dpi) <= 2


@pytest.mark.parametrize("size", [CARD_MM, OTHER])
def test_a_faint_edge_is_found_outside_of_print_on_a_dark_bed(size):
    levels, card = page(8, size, 300)
    levels[card] = (12, 9, 10)
    levels[card][90:-90, 90:-90] = (150, 120, 60)
    letters = levels[card][6:24]
    for left in range(20, letters.shape[1] - 20, 44):
        letters[:, left : left + 26] = 190
    assert off(find_edges(scan_of(levels), 300, size=size), card, 300) <= 2


def test_print_is_no_edge_where_nothing_is_seen_outside_of_it():
    """A card cut half a millimetre smaller on a bare bed stays as it is."""
    levels, card = page(8, (CARD_MM[0], CARD_MM[1] - 0.5), 300)
    levels[card] = 200
    assert off(find_edges(scan_of(levels), 300), card, 300) <= 2


def test_no_side_is_assumed_by_others_that_end_in_a_shadow():
    nothing = SeenLevels.of(np.zeros((1100, 1100, 4), np.uint8))
    upright, lying = (
        Plane(nothing, (0.0, 1000.0), 500.0, turned=turned) for turned in (False, True)
    )
    scale = CardScale(300.0, CARD_MM, known=True)
    for soft in (False, True):
        left = CardSide(FittedLine(20.0, 0.0), 1.0, soft, 1.0, 1.0, upright, 1)
        right = CardSide(FittedLine(740.0, 0.0), 0.1, False, 1.0, 1.0, upright, -1)
        upper = CardSide(FittedLine(20.0, 0.0), 1.0, False, 1.0, 1.0, lying, 1)
        lower = CardSide(FittedLine(1070.0, 0.0), 1.0, False, 1.0, 1.0, lying, -1)
        found = Sides(left, right, upper, lower).without_weakest(scale)
        assert (found is None) is soft


def test_a_smaller_game_card_with_a_halo_is_not_drawn_to_the_usual_size():
    """Of 63 x 88 mm on a dark bed, by a machine that sharpens: its halo is no edge."""
    for face in (40, 220):
        levels, card = page(12, (63.0, 88.0), 200)
        levels[card] = face
        levels[card][40:-40, 40:-40] = (120, 80, 60)
        sharp = scan_of(levels).filter(
            ImageFilter.UnsharpMask(radius=1.5, percent=150, threshold=0)
        )
        assert off(find_edges(sharp, 200), card, 200) <= 2
