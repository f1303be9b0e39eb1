"""The scanner's bed behind the cards: its colour, what stands out from it, and in how many
pieces."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from PIL import Image

from tagger.imaging.card.lines import Pixels, median

Mask = npt.NDArray[np.bool_]
Places = npt.NDArray[np.float64]

RIM = 1000  # pixels of a rim, at least, by which a bed is told where it has more
# What holds each row of a plane near 0, of the number of pixels that it is fitted to. A curve is
# held a little: where the rim shows two sides only, it could not be told from the level.
STIFF = (1e-9, 1e-9, 1e-9, 0.01, 0.01)


@dataclass(frozen=True)
class Bed:
    """The bed's colour as a curved plane over the picture it was taken from, and its noise.

    `plane` has a row for each of: at the middle, change from the middle to the right end, change
    from the middle to the lower end, and what comes on top at both ends across and at both ends
    down, as lamps lose light there; and a column for red, green, blue (0 to 255). `noise` is the
    standard deviation in the same levels."""

    plane: Pixels
    noise: float

    def at(self, x: Pixels, y: Pixels) -> Pixels:
        """The colour at places in fractions of the picture, -1 to 1 from left to right and from top
        to bottom."""
        return np.asarray(_grown(x, y).T @ self.plane, dtype=np.float32)

    @property
    def level(self) -> float:
        """Its grey in the middle, 0 to 255."""
        return float(self.plane[0].mean())


def pixels(picture: Image.Image) -> Pixels:
    """An RGB picture as an array of height x width x 3 levels, 0 to 255."""
    return np.asarray(picture, dtype=np.float32)


def _places(height: int, width: int) -> tuple[Pixels, Pixels]:
    """The columns and the rows of a picture in fractions of it, -1 to 1: to be broadcast."""
    y = np.linspace(-1, 1, height, dtype=np.float32)[:, None]
    x = np.linspace(-1, 1, width, dtype=np.float32)[None, :]
    return x, y


def bed_of(small: Pixels, deep: int = 3) -> Bed:
    """The bed seen in the outermost pixels (`deep` of them) of a picture, what else lies there left
    out.

    The plane is fitted by least squares, again and again without what is far from it, from the
    median colour on."""
    height, width = small.shape[:2]
    rim = _rim(height, width, deep)
    # More of a large rim would say no more of it.
    rim = rim[:: max(1, len(rim) // RIM)]
    x, y = _places(height, width)
    at = _grown(x[0, rim % width], y[rim // width, 0])
    # A row each channel: numpy compares three whole rows faster than three neighbours many times.
    colours = np.ascontiguousarray(small.reshape(-1, 3)[rim].T)
    middle = np.asarray([median(channel) for channel in colours])
    # What lies in the rim, a card or dust, must not bend the plane: the median begins without it.
    off = np.abs(colours - middle[:, None]).max(axis=0)
    near = off <= max(12.0, 3.0 * median(off))
    plane = np.zeros((len(STIFF), 3), dtype=np.float32)
    plane[0] = middle
    places, levels = at.astype(np.float64), colours.astype(np.float64)
    for _ in range(3):
        # a rim that is nearly all card says nothing of how the bed's light falls off
        if np.count_nonzero(near) < 24:
            break
        plane = _least_squares(places, levels, near)
        off = np.abs(colours - plane.T @ at).max(axis=0)
        near = off <= max(4.0, 3.5 * 1.4826 * median(off))
    noise = 1.4826 * median(np.abs(colours - plane.T @ at))
    # A bed that coding has made quite even would let any speck stand out.
    return Bed(plane, max(0.3, noise))


def _rim(height: int, width: int, deep: int) -> npt.NDArray[np.int64]:
    """The outermost pixels of a picture, so many deep, by their number in reading order."""
    every = np.arange(height * width).reshape(height, width)
    between = every[deep : max(deep, height - deep)]
    ends = np.concatenate([between[:, :deep], between[:, max(deep, width - deep) :]], axis=1)
    parts = (every[:deep], ends, every[max(deep, height - deep) :])
    return np.concatenate([part.ravel() for part in parts])


def _grown(x: Pixels, y: Pixels) -> Pixels:
    """What the rows of a plane are multiplied by at places in fractions of its picture: a row each
    of the plane's."""
    return np.stack([np.ones_like(x), x, y, x * x, y * y])


def _least_squares(places: Places, colours: Places, near: Mask) -> Pixels:
    # By the normal equations: places are within -1 to 1, so that nothing is lost by squaring. Those
    # that are not near count for nothing, which is quicker than taking the others out.
    weighed = places * near
    squares = weighed @ places.T + np.diag(STIFF) * np.count_nonzero(near)
    return np.linalg.solve(squares, weighed @ colours.T).astype(np.float32)


def apart(small: Pixels, bed: Bed) -> Pixels:
    """How far each pixel is from the bed's colour there: the largest difference of a channel, 0 to
    255."""
    x, y = _places(*small.shape[:2])
    far, off = (np.zeros(small.shape[:2], dtype=np.float32) for _ in range(2))
    # A channel at a time: all three at once would take three times the memory of a large sheet.
    for channel in range(3):
        level, across, down, ends, foot = (float(v) for v in bed.plane[:, channel])
        columns, rows = level + (across + ends * x) * x, (down + foot * y) * y
        np.add(columns, rows, out=off)
        np.subtract(small[:, :, channel], off, out=off)
        np.maximum(far, np.abs(off, out=off), out=far)
    return far


@dataclass(frozen=True)
class BedPiece:
    """One connected piece of a mask. Bounds are pixels, `right` and `lower` one past the last;
    `runs` has a row for each run of pixels: y, first x, one past the last x."""

    left: int
    upper: int
    right: int
    lower: int
    area: int
    runs: npt.NDArray[np.int64]


def parts(mask: Mask, least: int = 1) -> list[BedPiece]:
    """The connected pieces (eight neighbours) of at least so many pixels, largest first."""
    runs = _runs(mask)
    if not len(runs):
        return []
    owner = _owners(runs)
    # A noisy bed leaves specks by the hundred: those that are too small are never made pieces.
    area = np.bincount(owner, weights=runs[:, 2] - runs[:, 1])
    names = np.flatnonzero(area >= least)
    pieces = [_piece(runs[owner == name]) for name in names[area[names] > 0]]
    return sorted(pieces, key=lambda one: -one.area)


def part_bounds(mask: Mask) -> npt.NDArray[np.int64]:
    """The connected pieces (eight neighbours), a row each: left, upper, right, lower and area, as
    in BedPiece. Quicker than `parts` where a mask has thousands."""
    runs = _runs(mask)
    if not len(runs):
        return np.zeros((0, 5), dtype=np.int64)
    owner = _owners(runs)
    order = np.argsort(owner, kind="stable")
    y, first, past = runs[order].T
    starts = np.flatnonzero(np.diff(owner[order], prepend=-1))
    columns = (
        np.minimum.reduceat(first, starts),
        np.minimum.reduceat(y, starts),
        np.maximum.reduceat(past, starts),
        np.maximum.reduceat(y, starts) + 1,
        np.add.reduceat(past - first, starts),
    )
    return np.stack(columns, axis=1)


def _owners(runs: npt.NDArray[np.int64]) -> npt.NDArray[np.int64]:
    """For each run of pixels a number that all runs of its piece have: the first of them."""
    one, other = _touching(runs)
    owner = np.arange(len(runs))
    while True:
        # Each run takes the first of its neighbours, then whatever that one has by now.
        least = np.minimum(owner[one], owner[other])
        before = owner.copy()
        np.minimum.at(owner, before[one], least)
        np.minimum.at(owner, before[other], least)
        owner = owner[owner]
        if bool((owner[one] == owner[other]).all()):
            return owner


def _touching(runs: npt.NDArray[np.int64]) -> tuple[npt.NDArray[np.int64], ...]:
    """The pairs of runs of neighbouring rows that touch, corners too."""
    y, first, past = runs.T
    row = int(past.max()) + 2
    # Runs come in order, so that those of the row above which are touched lie side by side.
    start = np.searchsorted(y * row + past, (y - 1) * row + first, "left")
    end = np.searchsorted(y * row + first, (y - 1) * row + past, "right")
    count = np.maximum(end - start, 0)
    one = np.repeat(np.arange(len(runs)), count)
    within = np.arange(len(one)) - np.repeat(np.cumsum(count) - count, count)
    return one, np.repeat(start, count) + within


def _piece(own: npt.NDArray[np.int64]) -> BedPiece:
    return BedPiece(
        left=int(own[:, 1].min()),
        upper=int(own[:, 0].min()),
        right=int(own[:, 2].max()),
        lower=int(own[:, 0].max()) + 1,
        area=int((own[:, 2] - own[:, 1]).sum()),
        runs=own,
    )


def _runs(mask: Mask) -> npt.NDArray[np.int64]:
    """Runs of set pixels, top to bottom and left to right: y, first x, one past the last x."""
    edge = np.zeros((mask.shape[0], mask.shape[1] + 2), dtype=bool)
    edge[:, 1:-1] = mask
    # In each row a change to set pixels and one from them follow each other.
    changes = np.flatnonzero(edge[:, 1:] != edge[:, :-1])
    y, x = np.divmod(changes, mask.shape[1] + 1)
    return np.stack([y[::2], x[::2], x[1::2]], axis=1).astype(np.int64)
