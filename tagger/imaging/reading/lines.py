"""Where print stands on a picture: boxes around its lines, off the map that a network makes.

The network is of the kind that says of each pixel how likely it lies in the core of a line ("Real-
time Scene Text Detection with Differentiable Binarization", Liao and others, 2020): what hangs
together is one line, and its box is grown back by what the core was shrunk by."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from tagger.imaging.connected import roots

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from tagger.imaging.reading.models import Floats

PRINT = 0.3  # of the map: so much is core
LINE = 0.5  # mean over a core: less is a pattern that looks like print
GROWN = 1.6  # area by perimeter of the core times this, as the network was taught
THIN = 3  # pixels of the map
# pieces of a line that runs up: as wide as each other, hardly wider than high, and over each other
# by so much of the less high one
LIKE, WIDE, OVER = 0.75, 1.5, 0.2


class PrintBox(NamedTuple):
    """A line of print: its place in pixels, and how sure it is one (0 to 1)."""

    left: float
    top: float
    right: float
    bottom: float
    score: float

    @property
    def width(self) -> float:
        """Across."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Down."""
        return self.bottom - self.top


def line_boxes(likely: Floats) -> list[PrintBox]:
    """The lines of a map, from top to bottom."""
    row, start, stop = _runs(likely > PRINT)
    if not len(row):
        return []
    name = _names(row, start, stop)
    count = int(name.max()) + 1
    left, top = np.full(count, 1 << 30), np.full(count, 1 << 30)
    right, bottom, area, weight = (np.zeros(count) for _ in range(4))
    np.minimum.at(left, name, start)
    np.minimum.at(top, name, row)
    np.maximum.at(right, name, stop)
    np.maximum.at(bottom, name, row + 1)
    np.add.at(area, name, stop - start)
    np.add.at(weight, name, _weights(likely, row, start, stop))
    wide, high, score = right - left, bottom - top, weight / np.maximum(area, 1)
    kept = np.nonzero((np.minimum(wide, high) >= THIN) & (score >= LINE))[0]
    more = wide * high * GROWN / (2 * (wide + high))
    found = [
        PrintBox(
            float(left[at] - more[at]), float(top[at] - more[at]),
            float(right[at] + more[at]), float(bottom[at] + more[at]), float(score[at]),
        )
        for at in kept
    ]  # fmt: skip
    return sorted(found, key=lambda box: (box.top, box.left))


def in_one(above: PrintBox, below: PrintBox) -> PrintBox | None:
    """The box around two that may be pieces of one line that runs up or down; None where they are
    not. A short one comes off the map as one character above the other; lines of a table may lie as
    close."""
    wide, narrow = max(above.width, below.width), min(above.width, below.width)
    if narrow < LIKE * wide or any(box.width > WIDE * box.height for box in (above, below)):
        return None
    beside = min(above.right, below.right) - max(above.left, below.left)
    over = above.bottom - below.top
    if beside < LIKE * wide or over < OVER * min(above.height, below.height):
        return None
    return PrintBox(
        min(above.left, below.left), min(above.top, below.top),
        max(above.right, below.right), max(above.bottom, below.bottom),
        min(above.score, below.score),
    )  # fmt: skip


def _runs(core: NDArray[np.bool_]) -> tuple[NDArray[np.intp], ...]:
    """Row, first column and the one behind the last of each stretch of core."""
    fenced = np.zeros((core.shape[0], core.shape[1] + 2), dtype=np.int8)
    fenced[:, 1:-1] = core
    step = np.diff(fenced, axis=1)
    row, start = np.nonzero(step == 1)
    stop = np.nonzero(step == -1)[1]
    return row, start, stop


def _weights(
    likely: Floats, row: NDArray[np.intp], start: NDArray[np.intp], stop: NDArray[np.intp]
) -> NDArray[np.float64]:
    sums = np.zeros((likely.shape[0], likely.shape[1] + 1))
    np.cumsum(likely, axis=1, out=sums[:, 1:])
    found: NDArray[np.float64] = sums[row, stop] - sums[row, start]
    return found


def _names(
    row: NDArray[np.intp], start: NDArray[np.intp], stop: NDArray[np.intp]
) -> NDArray[np.intp]:
    """For each stretch the number of what it hangs together with."""
    touching = _touching(row.tolist(), start.tolist(), stop.tolist())
    found = np.asarray(roots(len(row), touching), dtype=np.intp)
    return np.unique(found, return_inverse=True)[1].astype(np.intp)


def _touching(row: list[int], start: list[int], stop: list[int]) -> Iterator[tuple[int, int]]:
    """The stretches that lie over one another in two rows, corners included."""
    first = [0] + [at + 1 for at, (a, b) in enumerate(pairwise(row)) if a != b] + [len(row)]
    spans = [range(a, b) for a, b in pairwise(first)]
    for above, below in pairwise(spans):
        if row[above.start] + 1 == row[below.start]:
            yield from _over(above, below, start, stop)


def _over(
    above: range, below: range, start: list[int], stop: list[int]
) -> Iterator[tuple[int, int]]:
    at = above.start
    for lower in below:
        while at < above.stop and stop[at] < start[lower]:
            at += 1
        for upper in range(at, above.stop):
            if start[upper] > stop[lower]:
                break
            yield upper, lower
