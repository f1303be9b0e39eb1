"""The picture in which a card's sides are looked for: about WORK_DPI, whatever the scan has."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image

from tagger.imaging.card.background import pixels
from tagger.imaging.card.kept_levels import levels_of
from tagger.imaging.card.lines import WORK_DPI, Pixels
from tagger.imaging.card.rough_sides import LOOK, MOST_LOOK, STEP, RoughSides

if TYPE_CHECKING:
    from tagger.imaging.card.lines import FittedLine, Levels

# Pixels outward and inward of a rough side, on top of LOOK, in which its lines may lie and what is
# looked at beside these.
OUTWARD, INWARD = 34, 26
SMOOTH = Image.Resampling.BICUBIC

Box = tuple[int, int, int, int]  # left, upper, right, lower


@dataclass(frozen=True)
class WorkingPicture:
    """`held` is what there is of it: `times` as coarse as the working one, which is made where it
    is looked at. `factor` is how many pixels of the scan are one of the working picture: a whole
    number, or one over it."""

    held: Image.Image
    times: int
    factor: float

    def rough(self) -> Pixels:
        """The picture STEP times as coarse as the working one."""
        return pixels(self.held.reduce(STEP // self.times))

    @property
    def whole(self) -> Image.Image:
        """All of the working picture."""
        if self.times == 1:
            return self.held
        return self.held.resize([length * self.times for length in self.held.size], SMOOTH)

    def levels(self, rough: RoughSides, card: tuple[float, float]) -> Levels:
        """The working picture, its pixels black farther from the rough sides than a line of a card
        of this size, in pixels, can lie."""
        if self.times == 1:
            return levels_of(self.held)
        high, wide = self.held.height * self.times, self.held.width * self.times
        boxes = list(self._beside(rough, card))
        # Where they lie over each other, all of it at once takes less.
        if sum(_area(box) for box in boxes) >= self.held.width * self.held.height:
            boxes = [(0, 0, *self.held.size)]
        out = np.zeros((high, wide, 4), np.uint8)
        for left, upper, right, lower in boxes:
            size = ((right - left) * self.times, (lower - upper) * self.times)
            part = self.held.resize(size, SMOOTH, box=(left, upper, right, lower))
            rows = slice(upper * self.times, lower * self.times)
            out[rows, left * self.times : right * self.times] = levels_of(part)
        return out

    def _beside(self, rough: RoughSides, card: tuple[float, float]) -> Iterator[Box]:
        """The parts beside the rough sides, in pixels of what is held."""
        seen = sorted((rough.across, rough.down))
        off = max(abs(one - other) for one, other in zip(seen, sorted(card), strict=True))
        room = min(MOST_LOOK, LOOK + off)
        wide, high = self.held.width * self.times, self.held.height * self.times
        left, right = (_reach(side, high, room) for side in (rough.left, rough.right))
        yield self._box(left[0] - OUTWARD, 0, left[1] + INWARD, high)
        yield self._box(right[0] - INWARD, 0, right[1] + OUTWARD, high)
        upper, lower = (_reach(side, wide, room) for side in (rough.upper, rough.lower))
        # what those of the left and right side do not have yet
        between = (left[1] + INWARD - self.times, right[0] - INWARD + self.times)
        yield self._box(between[0], upper[0] - OUTWARD, between[1], upper[1] + INWARD)
        yield self._box(between[0], lower[0] - INWARD, between[1], lower[1] + OUTWARD)

    def _box(self, left: float, upper: float, right: float, lower: float) -> Box:
        wide, high = self.held.size
        return (
            min(wide - 1, max(0, int(left / self.times))),
            min(high - 1, max(0, int(upper / self.times))),
            max(1, min(wide, int(right / self.times) + 1)),
            max(1, min(high, int(lower / self.times) + 1)),
        )


def _reach(side: FittedLine, long: int, room: float) -> tuple[float, float]:
    """From where to where a rough side and what lies so many pixels beside it are, across its run,
    which is so long."""
    ends = [float(side.place(along)) for along in (0, long)]
    return min(ends) - room, max(ends) + room


def _area(box: Box) -> int:
    return (box[2] - box[0]) * (box[3] - box[1])


def working_picture(picture: Image.Image, dpi: float) -> WorkingPicture:
    """An RGB picture with so many dots per inch, at about WORK_DPI."""
    # By whole numbers, so that each pixel is the mean of as many and none is blurred.
    if dpi >= 1.5 * WORK_DPI:
        fewer = round(dpi / WORK_DPI)
        return WorkingPicture(picture.reduce(fewer), 1, fewer)
    if 20 < dpi <= 0.6 * WORK_DPI:
        more = round(WORK_DPI / dpi)
        if more in (2, STEP):
            return WorkingPicture(picture, more, 1 / more)
        size = (picture.width * more, picture.height * more)
        return WorkingPicture(picture.resize(size, SMOOTH), 1, 1 / more)
    return WorkingPicture(picture, 1, 1.0)
