"""The levels that a picture's decoder gave, beside the picture itself: numpy would copy them out of
Pillow's rows again each time that it is asked."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt
from PIL import Image

if TYPE_CHECKING:
    from tagger.imaging.card.lines import Levels

# Pillow hands its `info` on to what is cut out of a picture or turned, but no attribute.
_KEPT = "_levels_of_decoder"

Packed = npt.NDArray[np.uint32]
"""Height x width, the four bytes of a pixel as one number."""


def keep_levels(picture: Image.Image, levels: Levels) -> None:
    """Keep the levels of a picture that will not be changed."""
    setattr(picture, _KEPT, levels)


def levels_of(picture: Image.Image) -> Levels:
    """The levels of an RGB picture; not to be written to."""
    kept = _kept(picture)
    if kept is not None:
        return kept
    made = np.frombuffer(picture.tobytes("raw", "RGBX"), np.uint8)
    return made.reshape(picture.height, picture.width, 4)


def packed_rows(picture: Image.Image, start: int, past: int) -> Packed:
    """Some rows of an RGB picture, a number a pixel; not to be written to."""
    kept = _kept(picture)
    if kept is None:
        rows = levels_of(picture.crop((0, start, picture.width, past)))
    else:
        rows = kept[start:past]
    return rows.view(np.uint32)[:, :, 0]


def _kept(picture: Image.Image) -> Levels | None:
    kept: Levels | None = getattr(picture, _KEPT, None)
    return kept
