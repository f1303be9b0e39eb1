"""How alike the scans of a lot are, and what the sides of those before say about the next one.

Scans of one side of one set have much in common, scans of two sides little. So with a front as +1
and a back as -1 the sides of a lot are a Gaussian process along its scans, whose covariance is how
alike two scans look (Rasmussen and Williams, Gaussian Processes for Machine Learning, 2006, ch. 2):
what a reading of the lot is worth is the likelihood of its sides, and nothing has to be known of
the sets beforehand."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from tagger.imaging.survey.fields import Array, colours_of, features, halved

REACH = 48  # scans: how far along the lot sides are compared
MOST = 30.0  # levels: a field where another player stands must not outvote the frame around it
# Shares of a scan's variance: what all have in common, near and far look-alikes, scans of the same
# manner, and its own chance. These and the reaches were read off tuning lots.
COMMON, NEAR, FAR, MANNER, OWN = 0.15, 0.4, 0.5, 0.4, 0.15
WHOLE = COMMON + NEAR + FAR + MANNER + OWN
# Of the usual distance between two scans of the lot, that of near and of far look-alikes.
NEAR_REACH, FAR_REACH = 0.4, 0.9
MANNER_REACH = 22.0  # levels
LEAST = 0.02  # of what is left to chance: alike as copies may be, a scan can still be misread

Rows = npt.NDArray[np.float64]


class Factor(NamedTuple):
    """The Cholesky factor of a banded covariance: for each scan the weights of the whitened sides
    before it (row i, column k - 1: scan i - k), and the standard deviation that is left."""

    lower: Rows
    left: Rows


def covariances(fields: Sequence[bytes], reach: int = REACH) -> Rows:
    """The covariance of each scan's side with those before it: row i, column k - 1 with scan i - k,
    0 where there is none; the variance of each is WHOLE.

    `fields` are as of `fields.fields_of`, empty for a scan that says nothing."""
    colours = colours_of(fields)
    far = _distances(colours, reach)
    manner = _rows_apart(_manners(colours), reach)
    empty = np.array([not one for one in fields], dtype=bool)
    known = _known(empty, reach)
    usual = max(1.0, float(np.median(far[known]))) if known.any() else 1.0
    near, wide, kin = far / usual / NEAR_REACH, far / usual / FAR_REACH, manner / MANNER_REACH
    alike = COMMON + NEAR * np.exp(-(near**2)) + FAR * np.exp(-(wide**2))
    alike = alike + MANNER * np.exp(-(kin**2))
    # Fades out along the lot, which keeps the whole a covariance; sets come one after the other.
    fade = 1 - np.arange(1, reach + 1) / (reach + 1)
    return np.where(known, alike * fade, 0.0)


def _known(empty: npt.NDArray[np.bool_], reach: int) -> npt.NDArray[np.bool_]:
    """Whether a scan and the one so many before it both say something."""
    known = np.zeros((len(empty), reach), dtype=bool)
    for step in range(1, min(reach, len(empty) - 1) + 1):
        known[step:, step - 1] = ~(empty[step:] | empty[:-step])
    return known


def _distances(colours: Array, reach: int) -> Array:
    """How far each scan is from those before it: in levels on average, lying either way."""
    small = halved(colours)
    as_is, over = features(small), features(small[:, ::-1, ::-1])
    far = np.zeros((len(colours), reach), np.float32)
    for at in range(1, len(colours)):
        before = as_is[max(0, at - reach) : at][::-1]
        ways = (_mean_difference(before, one[at]) for one in (as_is, over))
        far[at, : len(before)] = np.minimum(*ways)
    return far


def _mean_difference(many: Array, one: Array) -> Array:
    return np.asarray(np.minimum(np.abs(many - one), MOST).mean(axis=1), dtype=np.float32)


def _manners(colours: Array) -> Array:
    """What tells a picture from a page of print in any set, in levels: how light, how varied, how
    colourful and how finely drawn each scan is."""
    grey = colours.mean(axis=3)
    numbers = (
        grey.mean(axis=(1, 2)),
        2 * grey.std(axis=(1, 2)),
        2 * (colours.max(axis=3) - colours.min(axis=3)).mean(axis=(1, 2)),
        4 * np.abs(np.diff(grey, axis=1)).mean(axis=(1, 2)),
        4 * np.abs(np.diff(grey, axis=2)).mean(axis=(1, 2)),
    )
    return np.stack(numbers, axis=1)


def _rows_apart(rows: Array, reach: int) -> Array:
    """The root mean square difference of each row to those before it."""
    apart = np.zeros((len(rows), reach), np.float32)
    for step in range(1, min(reach, len(rows) - 1) + 1):
        apart[step:, step - 1] = np.sqrt(((rows[step:] - rows[:-step]) ** 2).mean(axis=1))
    return apart


def factor(cover: Rows) -> Factor:
    """The factor of covariances as `covariances` gives them."""
    count, reach = cover.shape
    lower, left = np.zeros((count, reach)), np.zeros(count)
    # The factor as a square, with room before the first scan: a window of it is a triangle.
    square = np.eye(reach + count)
    for at in range(count):
        window = slice(reach + max(0, at - reach), reach + at)
        weights = np.linalg.solve(square[window, window], cover[at, : min(at, reach)][::-1])
        square[reach + at, window] = weights
        lower[at, : len(weights)] = weights[::-1]
        left[at] = np.sqrt(max(LEAST, WHOLE - float(weights @ weights)))
        square[reach + at, reach + at] = left[at]
    return Factor(lower, left)
