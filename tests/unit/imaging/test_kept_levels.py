"""Levels that a decoder gave are those of the picture, and of none that is made of it."""

from __future__ import annotations

import io
import random

import numpy as np
from PIL import Image

from tagger.imaging.card.kept_levels import levels_of
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
