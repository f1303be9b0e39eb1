"""Sides of cards in grey, and how far they differ. Lengths are pixels, (0, 0) at the outer corner
of the first one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from numpy.lib.stride_tricks import sliding_window_view
from PIL import Image

from tagger.imaging.reading.small_print import Grey, Words, words_of

Box = npt.NDArray[np.float64]
SHIFT = 3  # pixels: how far print may lie from its place on another card
EVEN = 12  # levels: what differs less is one grey
TINY = 1e-9  # so that even parts do not divide by 0
STROKE = 4  # pixels: a part of a figure
SAME = 0.3  # of the contrast of print: by scanning 0.3 at most on 20 of 24 backs, by a figure 0.39
RIM, FIELD = 30, 26  # pixels: what is left out at the edges, and the side of a field
SHADE = 30.0  # levels that the mean of a field differs by on other pictures


@dataclass(frozen=True)
class Side:
    """A side of a card in grey and the words on it."""

    grey: Grey
    words: Words

    @staticmethod
    def of(picture: Image.Image) -> Side:
        """That of a picture whose long side is LONG pixels."""
        grey = np.asarray(picture.convert("L"), dtype=np.float32)
        return Side(grey, words_of(grey))


def one_picture(sides: Sequence[Side]) -> bool:
    """Whether three sides of cards or more, all of about one size and lying the same way, show one
    picture: neither their light and dark nor any small print differs by more than scanning does."""
    # Around in a ring, so that the words of each are looked at once.
    pairs = list(zip(sides, [*sides[1:], sides[0]], strict=True))
    if any(_shaded_otherwise(one.grey, other.grey) for one, other in pairs):
        return False
    if any(_worded_otherwise(one, other) for one, other in pairs):
        return False
    # Print too faint for a word differs on all pairs, a speck of dust on two only.
    return not any(
        all(_unlike(one.grey, other.grey, box) > SAME for one, other in pairs)
        for box in _cells(sides[0].grey)
    )


def _cells(grey: Grey) -> Iterator[Box]:
    high, wide = grey.shape
    for top in range(RIM, high - RIM, FIELD):
        for left in range(RIM, wide - RIM, FIELD):
            yield np.array((left, top, left + FIELD, top + FIELD), dtype=np.float64)


def _shaded_otherwise(one: Grey, other: Grey) -> bool:
    a, b = _fields(one), _fields(other)
    # Cards are cut, and scans are seen, a little wider or narrower.
    down, across = np.minimum(a.shape, b.shape)
    return bool(np.abs(a[:down, :across] - b[:down, :across]).max(initial=0) > SHADE)


def _fields(grey: Grey) -> Grey:
    """The mean greys of fields; without the edges, where cutting and the bed differ."""
    inner = grey[RIM:-RIM, RIM:-RIM]
    down, across = inner.shape[0] // FIELD, inner.shape[1] // FIELD
    whole = inner[: down * FIELD, : across * FIELD]
    return np.asarray(whole.reshape(down, FIELD, across, FIELD).mean(axis=(1, 3)))


def _worded_otherwise(one: Side, other: Side) -> bool:
    return any(_unlike(one.grey, other.grey, box) > SAME for box in one.words.boxes)


def _unlike(one: Grey, other: Grey, box: Box) -> float:
    """How far the print in a box differs on two sides where it differs most, over its contrast: a
    stroke of one figure tells, though all the rest is the same."""
    a, b, _ = _over(one, other, box, 1.0)
    a, b = a - a.mean(), b - b.mean()
    # One side may be scanned darker than the other.
    rest = a - float((a * b).sum()) / (float((b * b).sum()) + TINY) * b
    spots = sliding_window_view(rest, tuple(min(STROKE, length) for length in a.shape))
    contrast = float(np.subtract(*np.percentile(a, (98, 2))))
    return float(np.abs(spots.mean(axis=(-2, -1))).max()) / max(2 * EVEN, contrast)


def difference(one: Grey, other: Grey, box: Box) -> float:
    """How different the print in a box is on two sides: 1 less the correlation of its least alike
    part, where both lie best over one another."""
    a, b, best = _over(one, other, box, 0.0)
    wide = max(4, round(0.6 * a.shape[0]))
    parts = [
        float(_correlations(a[:, x : x + wide], b[:, x : x + wide], best))
        for x in range(0, max(1, a.shape[1] - wide + 1), max(1, wide // 2))
    ]
    return 1.0 - min([best, *parts])


def _over(one: Grey, other: Grey, box: Box, even: float) -> tuple[Grey, Grey, float]:
    """What is in a box on two sides where both lie best over one another, and their correlation
    there; `even` is that of two grounds without print."""
    a, b = _cut(one, box, 0), _cut(other, box, SHIFT)
    near = _correlations(a, sliding_window_view(b, a.shape), even)
    y, x = np.unravel_index(int(near.argmax()), near.shape)
    return a, b[y : y + a.shape[0], x : x + a.shape[1]], float(near[y, x])


def _cut(grey: Grey, box: Box, more: int) -> Grey:
    """What lies in a box and so much around it; beyond the picture as at its edge."""
    high, wide = grey.shape
    rows = np.arange(int(box[1]) - 1 - more, int(box[3]) + 1 + more).clip(0, high - 1)
    columns = np.arange(int(box[0]) - 1 - more, int(box[2]) + 1 + more).clip(0, wide - 1)
    return np.asarray(grey[np.ix_(rows, columns)])


def _correlations(one: Grey, others: Grey, even: float = 0.0) -> Grey:
    """Of the greys of a picture with those of others (the last two axes), -1 to 1; `even` where
    each is of one grey."""
    a = one - one.mean()
    b = others - others.mean(axis=(-2, -1), keepdims=True)
    spread, far = np.abs(a).max(), np.abs(b).max(axis=(-2, -1))
    alike = (a * b).sum(axis=(-2, -1))
    alike = alike / np.sqrt((a * a).sum() * (b * b).sum(axis=(-2, -1)) + TINY)
    flat = np.where(np.maximum(spread, far) < 2 * EVEN, even, 0.0)
    return np.asarray(np.where(np.minimum(spread, far) < EVEN, flat, alike), dtype=np.float32)
