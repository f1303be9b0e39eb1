"""What a machine added to a scan beyond its bed: strips of one flat colour, where the feeder
stopped reading before the picture was full."""

from __future__ import annotations

from itertools import takewhile

import numpy as np
import numpy.typing as npt
from PIL import Image

STEP = 4  # pixels that are looked at together
FLAT = 3.0  # levels that what a program filled in varies by; what a machine sees varies more
OTHER = 6.0  # levels that the bed differs by from what was filled in
ACROSS = 0.97  # of the scan's breadth, where that begins: a card leaves bed beside it
EDGE = 3  # steps that it may take from the one to the other

Grey = npt.NDArray[np.float32]


def without_padding(picture: Image.Image) -> tuple[Image.Image, tuple[int, int]]:
    """The part of an RGB scan that the machine saw, and its left upper corner."""
    lines = ((0, 0, 1, picture.height), (picture.width - 1, 0, picture.width, picture.height))
    rows = ((0, 0, picture.width, 1), (0, picture.height - 1, picture.width, picture.height))
    flat = [_is_flat(picture.crop(box)) for box in (*lines, *rows)]
    if not any(flat):
        return picture, (0, 0)
    seen = np.asarray(picture.convert("L").reduce(STEP), np.float32)
    ways = (seen.T, seen.T[::-1], seen, seen[::-1])
    left, right, upper, lower = (
        _padding(way) * STEP * one for one, way in zip(flat, ways, strict=True)
    )
    if not left + right + upper + lower:
        return picture, (0, 0)
    box = (left, upper, picture.width - right, picture.height - lower)
    return picture.crop(box), (left, upper)


def _is_flat(line: Image.Image) -> bool:
    return float(np.ptp(np.asarray(line), axis=(0, 1)).max()) <= 2 * FLAT


def _padding(seen: Grey) -> int:
    """How many of the first rows were filled in: flat, and all of the next ones another colour."""
    colour = float(np.median(seen[0]))
    off = np.abs(seen - colour)
    deep = sum(1 for _ in takewhile(lambda row: float(row.max()) <= FLAT, off))
    for at in range(deep, min(deep + EDGE, len(off))):
        if float((off[at] > OTHER).mean()) >= ACROSS:
            return at + 1
    return 0
