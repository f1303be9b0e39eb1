"""Beds that jump by themselves, behind a card: bars of a carrier, an end of a tray, a ruled mat;
and data whose damage makes them jump."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from tagger.imaging.scan.jpeg_corruption import broken_at
from tagger.imaging.scan.level_shift import shifted_at
from tagger.imaging.survey.faults import FaultKind, scan_faults

SIZE = (800, 560)
CARD = (slice(72, 728), slice(64, 496))


def page(bed: np.ndarray, seed: int) -> np.ndarray:
    """A card with ruled print, each line of which begins a row of blocks, on such a bed (levels, a
    row each, or for the whole)."""
    out = np.broadcast_to(bed.reshape(len(bed), -1, 1), (*SIZE, 3)).astype(np.float32)
    out = out + np.random.default_rng(seed).normal(0, 1.2, (*SIZE, 1))
    out[CARD] = (236, 230, 214)
    for row in range(96, 700, 48):
        out[row : row + 3, 100:440] = (40, 60, 90)
    return out


def shown(levels: np.ndarray) -> Image.Image:
    return Image.fromarray(np.clip(levels, 0, 255).astype(np.uint8))


def told(levels: np.ndarray) -> set[int | None]:
    picture = shown(levels)
    return {broken_at(picture), shifted_at(picture)}


def bars() -> np.ndarray:
    bed = np.full(SIZE[0], 172.0)
    for row in (96, 240, 384, 528, 672):
        bed[row : row + 72] = 61
    return bed


def tray_end() -> np.ndarray:
    return np.where(np.arange(SIZE[0]) < 336, 150.0, 92.0)


def comb() -> np.ndarray:
    return np.where(np.arange(SIZE[0]) // 48 % 2, 210.0, 120.0)


def ruled() -> np.ndarray:
    bed = np.full(SIZE, 74.0)
    bed[48::96], bed[49::96], bed[:, 30::80] = 130, 130, 130
    return bed


def rollers() -> np.ndarray:
    """Beside each other, and no higher than the card's upper end."""
    bed = np.full(SIZE, 84.0)
    for column in range(0, SIZE[1], 112):
        bed[144:, column : column + 56] = 48
    return bed


@pytest.mark.parametrize("bed", [bars, tray_end, comb, ruled, rollers])
@pytest.mark.parametrize("seed", [1, 2])
def test_what_crosses_the_bed_on_both_sides_of_a_card_is_no_damage(bed, seed):
    assert told(page(bed(), seed)) == {None}


def test_bars_above_and_below_a_card_are_no_damage():
    """They cross the whole scan, beside a shadow that the card throws on them too."""
    for row in (24, 736):
        levels = page(np.full(SIZE[0], 172.0), 3)
        levels[row : row + 32] = 61
        levels[728:744, 40:520] *= 0.6
        assert told(levels) == {None}


@pytest.mark.parametrize("high", [8, 16])
def test_what_follows_in_the_order_of_the_blocks_is_damage_without_any_print(high):
    """Faint, where no print begins, and each block off by other levels: the bed on the right jumps
    a row of blocks before the left one."""
    random = np.random.default_rng(5)
    levels = page(np.full(SIZE[0], 172.0), 5)
    off = random.choice((-8, 8), SIZE[1] // 8)
    off[:3] = off[-3:] = -8
    by = np.repeat(off, 8)[:, None]
    row, column = 400, 264
    later = levels.copy()
    later[row : row + high, column:] += by[column:]
    later[row + high :] += by
    assert told(levels) == {None}
    assert broken_at(shown(later)) == row


def test_a_card_that_goes_along_with_its_bed_is_damaged():
    """From the first block of a row on, where both sides of the bed jump at once."""
    levels = page(np.full(SIZE[0], 90.0), 7)
    levels[384:] += 12
    assert broken_at(shown(levels)) == 384


def kinds(levels: np.ndarray, dpi: float) -> set[FaultKind]:
    return {fault.kind for fault in scan_faults(shown(levels), dpi, jpeg=False).faults}


@pytest.mark.parametrize("bed", [bars, comb])
def test_an_empty_bed_with_bars_shows_no_card(bed):
    levels = np.broadcast_to(bed()[:, None, None], (*SIZE, 3)).astype(np.float32)
    levels = levels + np.random.default_rng(9).normal(0, 1.5, (*SIZE, 1))
    assert kinds(levels, 200) == {FaultKind.EMPTY_BED}
    card = page(bed(), 9)
    card[CARD] = (244, 243, 238)
    assert FaultKind.EMPTY_BED not in kinds(card, 200)
    assert FaultKind.EMPTY_BED not in kinds(page(bed(), 9), 200)
    # and one that fills its scan may be printed so
    assert FaultKind.EMPTY_BED not in kinds(levels, SIZE[0] * 25.4 / 88.9)


def test_a_line_or_two_across_a_side_that_fills_its_scan_are_print():
    levels = np.full((*SIZE, 3), 238.0)
    levels[80:110], levels[690:720] = 60, 60
    assert FaultKind.EMPTY_BED not in kinds(levels, 300)


@pytest.mark.parametrize("hue", [(1, -0.51, 0.02), (-0.6, 0.25, 0.4), (0.05, 0.12, -0.95)])
def test_art_that_is_as_light_all_over_is_no_blank_side(hue):
    """Clouds of colour without an edge, of which a grey picture shows nothing."""
    levels = np.full((*SIZE, 3), 120.0)
    levels[CARD] = (150, 150, 150)
    y, x = np.mgrid[0:656, 0:432]
    clouds = np.sin(y / 90) * np.cos(x / 70)
    art = levels.copy()
    art[CARD] += 40 * clouds[:, :, None] * np.array(hue)
    assert kinds(art, 184) & {FaultKind.BLANK, FaultKind.NEARLY_BLANK} == set()
    # paper that a warm lamp shines on from one side, and that is yellow at its rims
    paper = levels.copy()
    paper[CARD] = np.array((246, 240, 222)) - 6 * (x / 432)[:, :, None] * np.array((1, 1.2, 1.6))
    assert kinds(paper, 184) & {FaultKind.BLANK, FaultKind.NEARLY_BLANK}
