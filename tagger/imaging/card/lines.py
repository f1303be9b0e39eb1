"""Straight lines across a picture, found to a fraction of a pixel.

A line is x = at + slope * y for one that runs down, y = at + slope * x for one that runs across.
Lengths are pixels, and (0, 0) is the outer corner of the first pixel, so that the middle of the
first pixel is (0.5, 0.5)."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

if TYPE_CHECKING:
    from tagger.imaging.seen_levels import SeenLevels

Pixels = npt.NDArray[np.float32]
Levels = npt.NDArray[np.uint8]
"""Height x width x 4: red, green, blue, and one that says nothing: so a pixel is one number."""

WORK_DPI = 300  # finer scans are made smaller first: their edges are no sharper
BANDS, ROWS = 32, 6  # a side is looked at in so many bands of so many rows each
SHADOW = 10  # pixels at WORK_DPI, how far a card's shadow reaches
FADING = 0.36  # of its depth a shadow grows at most so much a pixel; a printed edge is sharper
LIGHT = 200  # levels of a light bed
DEEPEST = 0.35  # of the bed's level: what is darker than that is hardly a shadow
PAPER = 1.0  # levels that it is lighter inward, where a shadow ends and paper begins
MANY = 400  # values, from which on finding their middle is quicker than to sort them
ROBUST = 1.4826  # from the median of distances to a standard deviation, if they are normal


@dataclass(frozen=True)
class FittedLine:
    """`spread` is how far the points it was drawn through lie from it: a robust standard
    deviation."""

    at: float
    slope: float
    spread: float = 0.0

    def place(self, along: npt.NDArray[np.float64] | float) -> npt.NDArray[np.float64]:
        """Where the line is, across its run, at places along it."""
        return np.asarray(self.at + self.slope * np.asarray(along, dtype=np.float64))


def straight(
    along: npt.NDArray[np.float64],
    place: npt.NDArray[np.float64],
    weight: npt.NDArray[np.float64] | None = None,
) -> tuple[float, float]:
    """Slope and place at 0 of the line by weighted least squares."""
    if weight is None:
        total = float(len(along))
        middle, mean = float(np.add.reduce(along)) / total, float(np.add.reduce(place)) / total
        pull = away = along - middle
    else:
        square = weight * weight
        total = float(np.add.reduce(square))
        middle, mean = float(square @ along) / total, float(square @ place) / total
        away = along - middle
        pull = square * away
    slope = float(pull @ (place - mean)) / total / max(1e-9, float(pull @ away) / total)
    return slope, mean - slope * middle


def fit(along: npt.NDArray[np.float64], place: npt.NDArray[np.float64]) -> tuple[FittedLine, float]:
    """A line through most of the points, and the share of them (0 to 1) that lie on it within 1.5
    pixels. Through fewer than two points none goes: NaN, and no share.

    It starts at the median slope between points half the run apart (after Theil and Sen) and is
    then fitted by least squares to what is near it."""
    half = len(along) // 2
    if not half:
        return FittedLine(math.nan, math.nan), 0.0
    slope = median(
        (place[half : 2 * half] - place[:half]) / (along[half : 2 * half] - along[:half])
    )
    at = median(place - slope * along)
    before = b""
    # Round corners, dust and shadow lie off the line: each round leaves out more of them.
    for _ in range(3):
        off = np.abs(place - at - slope * along)
        near = off <= max(0.35, 2.5 * ROBUST * median(off))
        # Of the same places it would be the same line again.
        if np.count_nonzero(near) < 6 or (same := near.tobytes()) == before:
            break
        before = same
        slope, at = straight(along[near], place[near])
    off = np.abs(place - at - slope * along)
    return FittedLine(at, slope, ROBUST * median(off)), part(off <= 1.5)


def is_dark_card(bed: float, deep: float, inside: float) -> bool:
    """Whether what is so many levels darker than the bed beside a line is a card, and no shadow: as
    dark as no shadow is, and as dark farther inside. On a light bed a shadow may be that too."""
    return bed <= LIGHT and deep > DEEPEST * bed and inside > deep / 2


def rise(grey: Sequence[float], step: int) -> float:
    """By how many levels it is lighter just inward of a step of a strip than just outward of it."""
    return mean(grey[step + 1 : step + 3]) - mean(grey[max(0, step - 2) : step])


def mean(values: Sequence[float]) -> float:
    """The mean of a few numbers; NaN where there are none. numpy's takes ten times as long."""
    return sum(values) / len(values) if values else math.nan


def part(marked: npt.NDArray[np.bool_]) -> float:
    """The share of places that are marked; NaN where there are none. As quick as counting."""
    return float(np.count_nonzero(marked) / marked.size) if marked.size else math.nan


@dataclass(frozen=True)
class Strip:
    """The pixels beside a rough line, seen from outside in.

    `seen` is bands x steps x 3 levels, the mean of the rows of a band; `start` has for each band
    where its first step lies across the line, `along` where the band lies along it, and `inward` is
    1 or -1: which way the steps go."""

    seen: Pixels
    start: npt.NDArray[np.float64]
    along: npt.NDArray[np.float64]
    inward: int


def strip(
    work: SeenLevels,
    rough: FittedLine,
    reach: tuple[float, float],
    out: float,
    into: float,
    inward: int,
    bands: int = BANDS,
) -> Strip:
    """Look at a picture beside a line that runs down it (turn the picture for one that runs
    across).

    `reach` is from where to where along the line, `out` and `into` how many pixels to look outward
    and inward."""
    height = work.shape[0]
    low, high = max(0.0, reach[0]), min(float(height), reach[1])
    rows, mids, along = _rows_between(low, high, height, bands)
    steps = round(out + into) + 1
    # Whole pixels, the same steps in each row: what lies between them is found afterwards.
    first = np.round(rough.place(mids) - inward * out - 0.5)
    first = first.reshape(bands, ROWS)
    places = first.astype(np.int64)
    banded = work.bands(rows.reshape(bands, ROWS), places, steps, inward)
    start = np.asarray(first.mean(axis=1) + 0.5, dtype=np.float64)
    return Strip(banded, start, along, inward)


@lru_cache(maxsize=8)
def _rows_between(
    low: float, high: float, height: int, bands: int
) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.float64], npt.NDArray[np.float64]]:
    """ROWS rows of each band between two places along a side, their middles, and the middle of each
    band; not to be written to. Opposite sides have the same."""
    places = np.linspace(low, high - 1, bands * ROWS)
    rows = np.minimum(np.maximum(places, 0), height - 1).astype(np.int64)
    mids = rows.astype(np.float64) + 0.5
    middles: npt.NDArray[np.float64] = mids.reshape(bands, ROWS).mean(axis=1)
    return rows, mids, middles


# numpy's own take longer to begin than a side's bands to be added up or sorted.
def mean_along(values: Pixels, axis: int) -> Pixels:
    """The means along an axis that is not empty."""
    return np.asarray(np.add.reduce(values, axis=axis) / np.float32(values.shape[axis]))


def grey_of(levels: Pixels) -> Pixels:
    """The means of three channels, the last axis."""
    return np.asarray((levels[..., 0] + levels[..., 1] + levels[..., 2]) / np.float32(3))


def square_of(steps: npt.NDArray[np.floating[Any]]) -> npt.NDArray[np.floating[Any]]:
    """The squares of steps of colour, whose three channels are the last axis."""
    squares = steps * steps
    return np.asarray(squares[..., 0] + squares[..., 1] + squares[..., 2])


def median(values: npt.NDArray[np.floating[Any]]) -> float:
    """The median of all of them; NaN where there are none."""
    ordered = values.flatten()
    count = len(ordered)
    if not count:
        return math.nan
    low, high = (count - 1) // 2, count // 2
    if count < MANY:
        ordered.sort()
    else:
        ordered.partition((low, high))
    return float((ordered[low] + ordered[high]) / 2)


def medians_down(values: npt.NDArray[np.floating[Any]]) -> npt.NDArray[np.floating[Any]]:
    """The medians along the second last axis, which is not empty."""
    ordered = np.sort(values, axis=-2)
    count = ordered.shape[-2]
    return np.asarray((ordered[..., (count - 1) // 2, :] + ordered[..., count // 2, :]) / 2)


def percentile(values: npt.NDArray[np.floating[Any]], percent: float) -> float:
    """As numpy's, with linear interpolation."""
    return float(percentiles_across(values.reshape(-1), percent))


def percentiles_across(
    values: npt.NDArray[np.floating[Any]], percent: float
) -> npt.NDArray[np.floating[Any]]:
    """The same along the last axis."""
    ordered = np.sort(values, axis=-1)
    place = (ordered.shape[-1] - 1) * percent / 100
    low = int(place)
    high = min(low + 1, ordered.shape[-1] - 1)
    lower: npt.NDArray[np.floating[Any]] = ordered[..., low]
    return np.asarray(lower + (ordered[..., high] - lower) * (place - low))
