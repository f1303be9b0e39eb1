"""Levels that a decoder gave are those of the picture, and of none that is made of it."""

from __future__ import annotations

import io
import random

import numpy as np
from PIL import Image

from tagger.imaging.card import kept_levels
from tagger.imaging.card.kept_levels import coarse_made, coarse_of, greys_of, levels_of
from tagger.imaging.scan.decoder_warnings import decoded_strictly


def jpeg(mode: str) -> bytes:
    size, bands = (61, 43), len(Image.new(mode, (1, 1)).getbands())
    picture = Image.frombytes(mode, size, random.Random(3).randbytes(size[0] * size[1] * bands))
    file = io.BytesIO()
    picture.save(file, "JPEG", quality=90)
    return file.getvalue()


def test_levels_are_those_of_the_picture_and_not_of_a_part_of_it():
    for mode in ("RGB", "L"):
        picture = decoded_strictly(jpeg(mode)).picture
        assert picture is not None
        assert np.array_equal(levels_of(picture)[:, :, :3], np.asarray(picture))
        over = Image.Transpose.ROTATE_180
        for other in (picture.transpose(over), picture.crop((3, 2, 40, 30)), picture.copy()):
            assert np.array_equal(levels_of(other)[:, :, :3], np.asarray(other))


def test_grey_and_coarse_are_made_once_and_are_those_of_the_picture_itself():
    picture = decoded_strictly(jpeg("RGB")).picture
    assert picture is not None
    grey = greys_of(picture)
    assert np.array_equal(grey, np.asarray(picture.convert("L")))
    assert greys_of(picture) is grey
    assert coarse_made(picture) is None
    coarse = coarse_of(picture, 4)
    assert np.array_equal(coarse, picture.reduce(4))
    assert coarse_of(picture, 4) is coarse
    assert coarse_made(picture) == (4, coarse)
    assert coarse_of(picture, 2).size == picture.reduce(2).size
    part = picture.crop((3, 2, 40, 30))
    assert np.array_equal(greys_of(part), np.asarray(part.convert("L")))
    assert coarse_made(part) is None


def test_of_a_very_large_picture_no_whole_grey_is_made(monkeypatch):
    monkeypatch.setattr(kept_levels, "MOST_GREY", 60 * 43)
    assert greys_of(Image.new("RGB", (61, 43))) is None
