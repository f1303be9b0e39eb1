"""What is looked at of a picture that is held coarser is as if all of it had been made finer."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from tagger.imaging.card.kept_levels import levels_of
from tagger.imaging.seen_levels import SeenLevels

ROWS = np.arange(30, 78).reshape(8, 6)
ALIKE = 1.1  # levels: Pillow rounds between its two passes


def picture() -> Image.Image:
    rng = np.random.default_rng(7)
    # not so dark or light that a level would be cut off on the way
    return Image.fromarray(rng.integers(60, 190, (90, 80, 3), dtype=np.uint8))


def means(levels: np.ndarray, rows: np.ndarray, columns: np.ndarray) -> np.ndarray:
    """The same of a picture of which all is there, as at its edge beyond it."""
    return levels[rows[..., None], columns.clip(0, levels.shape[1] - 1)].mean(axis=1)


@pytest.mark.parametrize("times", [1, 2, 4])
@pytest.mark.parametrize("inward", [1, -1])
@pytest.mark.parametrize("turned", [False, True])
def test_bands_are_those_of_the_finer_picture(times: int, inward: int, turned: bool) -> None:
    held = picture()
    size = (held.width * times, held.height * times)
    finer = np.asarray(held.resize(size, Image.Resampling.BICUBIC), np.float32)
    seen = SeenLevels.of(levels_of(held), times)
    if turned:
        seen, finer = seen.turned(), finer.transpose(1, 0, 2)
    assert seen.shape == finer.shape[:2]
    # crooked, so that the rows of a band begin at other places
    first = 30 + (ROWS - ROWS.min()) // 5
    columns = first[..., None] + inward * np.arange(11)
    found = seen.bands(ROWS, first, 11, inward)
    assert found.shape == (8, 11, 3)
    assert np.abs(found - means(finer, ROWS, columns)).max() <= ALIKE


@pytest.mark.parametrize("times", [1, 2])
def test_beyond_the_picture_it_is_as_at_its_edge(times: int) -> None:
    held = Image.new("RGB", (20, 30), (90, 100, 110))
    found = SeenLevels.of(levels_of(held), times).bands(
        np.full((2, 6), 10), np.full((2, 6), -9), 30, 1
    )
    assert np.allclose(found, (90, 100, 110), atol=0.01)


def test_single_pixels_are_those_of_the_picture() -> None:
    held = picture()
    x, y = np.array([3, 30, 12]), np.array([5, 8, 33])
    found = SeenLevels.of(levels_of(held)).at(x, y)
    assert (found == np.asarray(held)[y, x]).all()
