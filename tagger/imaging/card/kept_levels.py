"""What is asked for more than once of a picture, beside the picture itself: the levels that its
decoder gave, which numpy would copy out of Pillow's rows again each time, those of its grey, and it
made coarser."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt
from PIL import Image

if TYPE_CHECKING:
    from tagger.imaging.card.lines import Levels

# Pillow hands its `info` on to what is cut out of a picture or turned, but no attribute.
_KEPT, _GREY, _COARSE = "_levels_of_decoder", "_levels_of_grey", "_made_coarser"
MOST_GREY = 12_000_000  # pixels: of more, a whole grey picture would take too much memory

Grey = npt.NDArray[np.uint8]
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


def greys_of(picture: Image.Image) -> Grey | None:
    """The levels of grey of an RGB picture that will not be changed, made once; not to be written
    to. None of one that is too large for that."""
    made: Grey | None = getattr(picture, _GREY, None)
    if made is None and picture.width * picture.height <= MOST_GREY:
        made = np.asarray(picture.convert("L"))
        setattr(picture, _GREY, made)
    return made


def coarse_of(picture: Image.Image, factor: int) -> Image.Image:
    """A picture that will not be changed, so many times as coarse: the last one is kept."""
    kept = coarse_made(picture)
    if kept is None or kept[0] != factor:
        kept = factor, picture.reduce(factor)
        setattr(picture, _COARSE, kept)
    return kept[1]


def coarse_made(picture: Image.Image) -> tuple[int, Image.Image] | None:
    """A picture made coarser before, and how many times; None where it was not."""
    kept: tuple[int, Image.Image] | None = getattr(picture, _COARSE, None)
    return kept


def _kept(picture: Image.Image) -> Levels | None:
    kept: Levels | None = getattr(picture, _KEPT, None)
    return kept
