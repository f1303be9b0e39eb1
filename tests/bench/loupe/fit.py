"""The weights by which places are judged, fitted by logistic regression on drawn designs: Newton's
steps with a ridge, each design counting alike."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from bench.loupe.scanned_designs import Box, SeenSide
from tagger.imaging.survey.number_places import Features, Slot, compared, likely_slots
from tagger.imaging.survey.sides import Side

RIDGE, ROUNDS = 0.5, 50
Row = tuple[npt.NDArray[np.float64], npt.NDArray[np.float64]]


def fitted(seen: Sequence[list[SeenSide]], now: Features, cards: int = 1) -> Features:
    """The weights for places on one card, or on so many that are compared; the places are those
    likely by the weights `now`."""
    rows = [_rows(sides[:cards], now) for sides in seen]
    values = np.concatenate([row[0] for row in rows])
    right = np.concatenate([row[1] for row in rows])
    counts = np.concatenate([np.where(row[1] > 0, 1.0, 4.0 / len(row[1])) for row in rows])
    middle, spread = values.mean(axis=0), values.std(axis=0) + 1e-6
    middle[0], spread[0] = 0.0, 1.0
    scaled, weights = (values - middle) / spread, np.zeros(values.shape[1])
    ridge = np.where(np.arange(len(weights)) > 0, RIDGE, 1e-6)
    for _ in range(ROUNDS):
        likely = 1 / (1 + np.exp(-scaled @ weights))
        slope = scaled.T @ (counts * (likely - right)) + ridge * weights
        bend = (scaled * (counts * likely * (1 - likely))[:, None]).T @ scaled + np.diag(ridge)
        weights -= np.linalg.solve(bend, slope)
    own = weights / spread
    own[0] = weights[0] - float((own[1:] * middle[1:]).sum())
    return Features(*(round(float(value), 2) for value in own))


def _rows(seen: Sequence[SeenSide], now: Features) -> Row:
    sides = [Side.of(one.picture) for one in seen]
    slots = likely_slots(sides, now)
    if len(sides) > 1:
        slots = [compared(sides, slot) for slot in slots]
    width, height = seen[0].picture.size
    right = [float(_holds(slot, seen[0].number, width, height)) for slot in slots]
    return np.array([slot.features for slot in slots]), np.array(right)


def _holds(slot: Slot, number: Box, width: int, height: int) -> bool:
    """Whether a place is that of the number, and not much larger."""
    left, top, right, lower = slot.box / np.array([width, height, width, height])
    x, y = (number[0] + number[2]) / 2, (number[1] + number[3]) / 2
    high, wide = number[3] - number[1], number[2] - number[0]
    inside = left - 0.006 <= x <= right + 0.006 and top <= y <= lower
    return bool(inside and lower - top < 2.2 * high and right - left < wide + 5 * high)
