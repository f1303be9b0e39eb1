"""The rows around the borders between blocks are a picture's own, and their means those of its
blocks."""

from __future__ import annotations

import io

import numpy as np
from PIL import Image

from tagger.imaging.card import kept_levels
from tagger.imaging.scan.block_borders import (
    BLOCK,
    border_greys,
    border_means,
    border_rows,
    row_greys,
)
from tagger.imaging.scan.decoder_warnings import decoded_strictly


def pictures() -> list[Image.Image]:
    """Grain as Pillow holds it, and as a JPEG's decoder gave it beside its levels; the last block
    of one is whole, that of the other is not."""
    out = []
    for width in (160, 163):
        grain = np.random.default_rng(width).integers(0, 256, (331, width, 3), np.uint8)
        file = io.BytesIO()
        Image.fromarray(grain).save(file, "JPEG", quality=95)
        decoded = decoded_strictly(file.getvalue()).picture
        assert decoded is not None
        out += [decoded, decoded.copy()]
    return out


def test_the_rows_around_borders_are_as_grey_as_the_picture():
    for picture in pictures():
        rows = border_rows(picture)
        grey = np.asarray(picture.convert("L"))
        around = rows[:, None] + np.arange(-2, 2)
        assert np.array_equal(border_greys(picture, rows), grey[around])
        assert np.array_equal(row_greys(picture, [0, 7, 330]), grey[[0, 7, 330]])


def test_the_means_around_borders_are_those_of_the_blocks_pixels():
    for picture in pictures():
        rows = border_rows(picture)
        levels = np.asarray(picture)[rows[:, None] + np.arange(-2, 2)].astype(float)
        means = border_means(picture, rows)
        assert means.shape == (*levels.shape[:2], -(-picture.width // BLOCK), 3)
        for at in range(means.shape[2]):
            wanted = levels[:, :, BLOCK * at : BLOCK * (at + 1)].mean(axis=2)
            assert np.abs(means[:, :, at] - wanted).max() <= 0.5


def test_the_rows_begin_blocks_that_have_one_above_and_go_on():
    assert border_rows(Image.new("RGB", (8, 40))).tolist() == [8, 16, 24, 32]
    assert border_rows(Image.new("RGB", (8, 36))).tolist() == [8, 16, 24]


def test_the_rows_of_a_picture_too_large_for_a_whole_grey_one_are_the_same(monkeypatch):
    picture = pictures()[0]
    rows = border_rows(picture)
    whole = border_greys(picture, rows), row_greys(picture, [0, 7, 330])
    monkeypatch.setattr(kept_levels, "MOST_GREY", 0)
    large = pictures()[0]
    assert np.array_equal(border_greys(large, rows), whole[0])
    assert np.array_equal(row_greys(large, [0, 7, 330]), whole[1])
