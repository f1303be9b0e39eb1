"""The small print on a card: pieces as large as letters and figures, joined to words. Nothing is
read.

Print is told from its ground by the mean and spread around each pixel (W. Niblack, "An
Introduction to Digital Image Processing", 1986), dark on light and light on dark. Connected pieces
of the size of letters are joined along a line as by L. A. Fletcher and R. Kasturi, "A robust
algorithm for text string separation from mixed text/graphics images", IEEE PAMI 10 (6), 1988.
Lengths are pixels, (0, 0) at the outer corner of the first one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tagger.imaging.card.background import part_bounds
from tagger.imaging.connected import roots

LONG = 740  # pixels of the long side in which print is looked for: 200 dpi
AROUND = 12  # pixels: reach of the window that print is told from its ground by
SPREAD, LEAST = 0.45, 12.0  # print differs by so many deviations, and by so many levels at least
LOWEST, HIGHEST = 7, 46  # pixels: a letter's height, 0.9% to 6% of the card's
DASH = 16  # pixels: the longest that joins two parts of a number, as in RC-7
GAP = 0.42  # of a letter's height: letters that lie closer are of one word
RING = 3  # pixels around a word in which there is only its ground
UNEVEN = 0.75  # of the contrast of word and ground, that the ground may be spread by

Grey = npt.NDArray[np.float32]
Boxes = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Words:
    """Words by their features, each a row: `boxes` has left, top, right, lower; `letters` how many
    pieces one has; `even` the least height of its pieces over the greatest; `light` whether it is
    lighter than its ground; `clear` the spread of the ground around it over the contrast."""

    boxes: Boxes
    letters: npt.NDArray[np.int64]
    even: npt.NDArray[np.float64]
    light: npt.NDArray[np.bool_]
    clear: npt.NDArray[np.float64]

    def __len__(self) -> int:
        return len(self.boxes)


def words_of(grey: Grey) -> Words:
    """The words on a side, its long side LONG pixels."""
    found = [_words(grey, light) for light in (False, True)]
    return Words(
        np.concatenate([one.boxes for one in found]),
        np.concatenate([one.letters for one in found]),
        np.concatenate([one.even for one in found]),
        np.concatenate([one.light for one in found]),
        np.concatenate([one.clear for one in found]),
    )


def _words(grey: Grey, light: bool) -> Words:
    letters, dashes = _letters(255 - grey if light else grey)
    # A dash is as a letter twice as high as it is wide: so it joins what stands beside it.
    more = dashes[:, 2] - dashes[:, 0] - (dashes[:, 3] - dashes[:, 1]) / 2
    raised = dashes + np.stack([0 * more, -more, 0 * more, more], axis=1)
    groups = _joined(np.concatenate([letters, raised]))
    rows = [_word(grey, letters[group], light) for group in _letters_only(groups, len(letters))]
    kept = [row for row in rows if row is not None]
    table = np.array(kept, dtype=np.float64).reshape(-1, 7)
    return Words(
        table[:, :4],
        table[:, 4].astype(np.int64),
        table[:, 5],
        np.full(len(table), light),
        table[:, 6],
    )


def _letters_only(groups: Sequence[Sequence[int]], letters: int) -> Iterator[list[int]]:
    """Each group without its dashes, which are counted behind all letters; none of dashes alone."""
    for group in groups:
        if own := [piece for piece in group if piece < letters]:
            yield own


def _letters(dark: Grey) -> tuple[Boxes, Boxes]:
    """Boxes of the pieces that are darker than their surroundings: as large as letters, and as
    dashes."""
    mean, spread = _around(dark)
    mask = dark < mean - np.maximum(LEAST, SPREAD * spread)
    left, upper, right, lower, area = part_bounds(mask).T
    width, height = right - left, lower - upper
    letter = (height >= LOWEST) & (height <= HIGHEST) & (height <= 9 * width)
    letter &= (width <= 3.5 * height) & (area >= np.maximum(10, 0.12 * width * height))
    dash = (height >= 2) & (height < LOWEST) & (width >= 1.2 * height) & (width <= DASH)
    dash &= area >= 0.7 * width * height
    bounds = np.stack([left, upper, right, lower], axis=1).astype(np.float64)
    return bounds[letter], bounds[dash]


def _around(grey: Grey) -> tuple[Grey, Grey]:
    """Mean and standard deviation in the window around each pixel."""
    window = 2 * AROUND + 1
    wide = np.pad(grey, AROUND, mode="edge").astype(np.float64)

    def mean(values: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
        sums = np.pad(values, ((1, 0), (1, 0))).cumsum(0).cumsum(1)
        total = sums[window:, window:] - sums[:-window, window:]
        total -= sums[window:, :-window] - sums[:-window, :-window]
        return np.asarray(total / window**2)

    middle = mean(wide)
    spread = np.sqrt(np.maximum(0.0, mean(wide * wide) - middle * middle))
    return middle.astype(np.float32), spread.astype(np.float32)


def _joined(pieces: Boxes) -> list[list[int]]:
    """Which pieces make words, each as a list of their rows."""
    left, top, right, lower = pieces.T
    high = lower - top
    tall, low = np.maximum.outer(high, high), np.minimum.outer(high, high)
    shared = np.minimum.outer(lower, lower) - np.maximum.outer(top, top)
    gap = left[None, :] - right[:, None]
    near = (gap <= GAP * tall) & (gap >= -0.25 * low) & (left[None, :] > left[:, None])
    near &= (shared >= 0.6 * low) & (tall <= 2.2 * low)
    groups: dict[int, list[int]] = {}
    for at, root in enumerate(roots(len(pieces), np.argwhere(near).tolist())):
        groups.setdefault(root, []).append(at)
    return list(groups.values())


def _word(grey: Grey, pieces: Boxes, light: bool) -> tuple[float, ...] | None:
    """A word's box, letters, evenness and clearness; None where it does not stand out from its
    ground."""
    left, top = pieces[:, :2].min(axis=0)
    right, lower = pieces[:, 2:].max(axis=0)
    high = pieces[:, 3] - pieces[:, 1]
    ink = _level(grey, pieces, 10.0 if not light else 90.0)
    ring = _ring(grey, left, top, right, lower)
    contrast = float(np.median(ring)) - ink
    if light:
        contrast = -contrast
    if contrast < LEAST:
        return None
    clear = float(ring.std()) / contrast
    if clear > UNEVEN:
        return None
    even = float(high.min() / high.max())
    return (left, top, right, lower, float(len(pieces)), even, clear)


def _level(grey: Grey, pieces: Boxes, percent: float) -> float:
    values = [
        grey[int(top) : int(lower), int(left) : int(right)].ravel()
        for left, top, right, lower in pieces
    ]
    return float(np.percentile(np.concatenate(values), percent))


def _ring(grey: Grey, left: float, top: float, right: float, lower: float) -> Grey:
    """The pixels of the frame that lies RING pixels around a box."""
    x0, y0 = max(0, int(left) - RING), max(0, int(top) - RING)
    x1 = min(grey.shape[1] - 1, int(right) + RING - 1)
    y1 = min(grey.shape[0] - 1, int(lower) + RING - 1)
    sides = (grey[y0, x0 : x1 + 1], grey[y1, x0 : x1 + 1], grey[y0:y1, x0], grey[y0:y1, x1])
    return np.concatenate(sides)
