"""Medians of a few numbers. numpy's own take longer to begin than a side's bands to be sorted."""

from __future__ import annotations

from typing import Any

import numpy as np
import numpy.typing as npt


def median(values: npt.NDArray[np.floating[Any]]) -> float:
    """The median of all of them; NaN where there are none."""
    ordered = np.sort(values, axis=None)
    count = len(ordered)
    if not count:
        return float("nan")
    return float((ordered[(count - 1) // 2] + ordered[count // 2]) / 2)


def percentile(values: npt.NDArray[np.floating[Any]], percent: float) -> float:
    """As numpy's, with linear interpolation."""
    ordered = np.sort(values, axis=None)
    place = (len(ordered) - 1) * percent / 100
    low = int(place)
    high = min(low + 1, len(ordered) - 1)
    return float(ordered[low] + (ordered[high] - ordered[low]) * (place - low))
