"""Sleeves and cases around a card: a second outline, which stands out from the bed as the card
does."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from tagger.imaging.card.card_edges import MM
from tagger.imaging.card.lines import LIGHT

if TYPE_CHECKING:
    from tagger.imaging.card.background import Bed
    from tagger.imaging.card.card_edges import Corners, Edges
    from tagger.imaging.card.card_side import CardScale
    from tagger.imaging.card.rough_sides import RoughSides
    from tagger.imaging.seen_levels import SeenLevels

# mm around a card, both sides together, from which on it may be a sleeve's: on 31 scanners bare
# cards with faint shadows came to 1.1, sleeves to 3.1
LEAST = 2.0
FILM = 2.0  # levels that clear film is lighter than a dark or grey bed; a shadow is darker
BESIDE = 1.0  # mm beside the card where that is seen
PLACES = (np.arange(16) + 2.5) / 20  # along a side, away from the corners


def held_by(
    work: SeenLevels, bed: Bed, rough: RoughSides, found: Edges, scale: CardScale
) -> tuple[float, float]:
    """By how many mm a sleeve or a case is wider and higher than the card in it, 0 where there is
    none or where that cannot be told. `found` is in pixels of the working picture, as the scale
    is."""
    if not scale.known or bed.level > LIGHT:
        return 0.0, 0.0
    across, down = (length / scale.dots * MM for length in (rough.across, rough.down))
    around = (across - found.width, down - found.height)
    if min(around) < LEAST:
        return 0.0, 0.0
    lighter = np.median(_beside(work, bed, found.corners, scale.pixels(BESIDE)))
    return around if lighter >= FILM else (0.0, 0.0)


def _beside(work: SeenLevels, bed: Bed, corners: Corners, away: float) -> list[float]:
    """By how many levels it is lighter than the bed so many pixels beside each side."""
    middle = np.asarray(corners).mean(axis=0)
    size = np.asarray([work.shape[1], work.shape[0]])
    out = []
    for one, other in pairwise([*corners, corners[0]]):
        start, end = np.asarray(one), np.asarray(other)
        way = (start + end) / 2 - middle
        at = start + (end - start) * PLACES[:, None] + away * way / np.hypot(*way)
        at = np.minimum(np.maximum(at, 0), size - 1)
        x, y = (at / size * 2 - 1).astype(np.float32).T
        seen = work.at(*at.astype(np.int64).T)
        out.append(float((seen - bed.at(x, y)).mean()))
    return out
