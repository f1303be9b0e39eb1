"""The picture in which a card's sides are looked for: about WORK_DPI, whatever the scan has."""

from __future__ import annotations

from dataclasses import dataclass

from PIL import Image

from tagger.imaging.card.background import pixels
from tagger.imaging.card.kept_levels import coarse_of, levels_of
from tagger.imaging.card.lines import WORK_DPI, Pixels
from tagger.imaging.card.rough_sides import STEP
from tagger.imaging.seen_levels import SeenLevels

SMOOTH = Image.Resampling.BICUBIC


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
        return pixels(coarse_of(self.held, STEP // self.times))

    def levels(self) -> SeenLevels:
        """The working picture, to be looked at."""
        return SeenLevels.of(levels_of(self.held), self.times)


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
