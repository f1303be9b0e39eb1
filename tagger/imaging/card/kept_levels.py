"""The levels that a picture's decoder gave, beside the picture itself: numpy would copy them out of
Pillow's rows again each time that it is asked."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from PIL import Image

if TYPE_CHECKING:
    from tagger.imaging.card.lines import Levels

# Pillow hands its `info` on to what is cut out of a picture or turned, but no attribute.
_KEPT = "_levels_of_decoder"


def keep_levels(picture: Image.Image, levels: Levels) -> None:
    """Keep the levels (height x width x 3) of a picture that will not be changed."""
    setattr(picture, _KEPT, levels)


def levels_of(picture: Image.Image) -> Levels:
    """The levels of an RGB picture, height x width x 3; not to be written to."""
    kept: Levels | None = getattr(picture, _KEPT, None)
    return np.asarray(picture) if kept is None else kept
