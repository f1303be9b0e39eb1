"""A side made small: 20 x 28 fields of colour, and what sides are compared by."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt
from PIL import Image

SIZE = (20, 28)  # fields across and down that a side is looked at in
GREY, TINT = 0.5, 1.5  # what a level of grey weighs, and one of colour

Array = npt.NDArray[np.float32]


def fields_of(crop: Image.Image) -> bytes:
    """The mean colours of 20 x 28 fields of a straight, standing crop (RGB), in reading order: 1680
    bytes."""
    small = crop.resize(SIZE, Image.Resampling.BOX)
    return small.tobytes()


def colours_of(fields: Sequence[bytes]) -> Array:
    """n x 28 x 20 colours of sides as of `fields_of`; black for one that is empty."""
    blank = bytes(SIZE[0] * SIZE[1] * 3)
    seen = np.frombuffer(b"".join(one or blank for one in fields), np.uint8)
    return seen.reshape(-1, SIZE[1], SIZE[0], 3).astype(np.float32)


def halved(colours: Array) -> Array:
    """Half as fine, n x 14 x 10: where the print lies on a card differs by a millimetre from copy
    to copy."""
    fine = colours.reshape(-1, SIZE[1] // 2, 2, SIZE[0] // 2, 2, 3)
    return np.asarray(fine.mean(axis=(2, 4)), dtype=np.float32)


def features(colours: Array) -> Array:
    """What sides are compared by, a row a side: grey, tint, and the steps of grey down and
    across."""
    grey = colours.mean(axis=3)
    tint = colours - grey[..., None]
    parts = (GREY * grey, TINT * tint, np.diff(grey, axis=1), np.diff(grey, axis=2))
    return np.concatenate([part.reshape(len(colours), -1) for part in parts], axis=1)
