"""Stripes of the scanner's bed, taken out before a card's sides are looked for: rollers and
windows of a feeder leave brighter or darker ones that run along the whole scan, as straight and as
sharp as a card's side."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from PIL import Image

from tagger.imaging.card.background import Bed

if TYPE_CHECKING:
    import numpy.typing as npt

    from tagger.imaging.card.lines import Pixels

RIM = 3  # pixels of the coarse picture, at both ends of the stripes, in which they are told
SEEN = 6.0  # levels off the bed's plane, at least, and so many times its noise
NOISES = 4.0
MOST = 0.6  # of the scan's width: what is wider is the bed's own light
ALIKE = 0.5  # a stripe at one end is at least so strong at the other


def without_stripes(held: Image.Image, coarse: Pixels, bed: Bed) -> Image.Image | None:
    """An RGB picture with the stripes of its bed as even as the rest of it, None where it has none.
    `coarse` is the same picture some times as coarse, of height x width x 3 levels, `bed` what it
    shows of the bed.

    A stripe is seen at both ends of the scan at the same place. What lies on the bed is as it was,
    but for what has the very colour of the stripe."""
    down = _striped(_profiles(coarse, bed), bed)
    across = _striped(_profiles(coarse.transpose(1, 0, 2), _turned(bed)), bed)
    if not (down or across):
        return None
    out = np.asarray(held).copy()
    rim = RIM * max(1, round(held.width / coarse.shape[1]))
    if down:
        _even(out, bed, rim)
    if across:
        _even(out.transpose(1, 0, 2), _turned(bed), rim)
    return Image.fromarray(out, "RGB")


def _turned(bed: Bed) -> Bed:
    """The bed of a picture whose rows are columns."""
    level, right, down, ends, foot = bed.plane
    return Bed(np.stack([level, down, right, foot, ends]), bed.noise)


def _profiles(
    picture: Pixels | npt.NDArray[np.uint8], bed: Bed, rim: int = RIM
) -> tuple[Pixels, Pixels]:
    """How far off the bed's plane each column is at the upper and at the lower end: width x 3."""
    wide = np.linspace(-1, 1, picture.shape[1], dtype=np.float32)
    ends = []
    for rows, y in ((picture[:rim], -1.0), (picture[-rim:], 1.0)):
        plane = bed.at(wide, np.full_like(wide, y))
        # numpy's own median begins by looking for what is no number
        ordered = np.sort(rows, axis=0)
        middle = (ordered[(len(rows) - 1) // 2] + ordered[len(rows) // 2].astype(np.float32)) / 2
        ends.append(middle - plane)
    return ends[0], ends[1]


def _striped(profiles: tuple[Pixels, Pixels], bed: Bed) -> bool:
    """Whether some columns, and not most, are off the plane alike at both ends."""
    off = _stripes(profiles, bed).any(axis=1)
    return 0 < int(off.sum()) <= MOST * off.size


def _stripes(profiles: tuple[Pixels, Pixels], bed: Bed) -> Pixels:
    """By how many levels each column is brighter than the bed's plane, 0 where it is no stripe."""
    upper, lower = profiles
    small, large = np.minimum(abs(upper), abs(lower)), np.maximum(abs(upper), abs(lower))
    least = max(SEEN, NOISES * bed.noise)
    alike = (upper * lower > 0) & (small >= least) & (small >= ALIKE * large)
    # all channels of a column, or none: a stripe has a colour
    some = alike.any(axis=1, keepdims=True) & (upper * lower > 0)
    return np.where(some, (upper + lower) / 2, np.float32(0)).astype(np.float32)


def _even(picture: npt.NDArray[np.uint8], bed: Bed, rim: int) -> None:
    """Make the pixels of a picture, height x width x 3, that have the colour of a stripe of its bed
    as the bed beside. In place: of a large scan there is one copy."""
    stripes = _stripes(_profiles(picture, bed, rim), bed)
    columns = np.flatnonzero(stripes.any(axis=1))
    x = np.linspace(-1, 1, picture.shape[1], dtype=np.float32)[columns]
    y = np.linspace(-1, 1, picture.shape[0], dtype=np.float32)
    down, across = bed.at(np.zeros_like(y), y), bed.at(x, np.zeros_like(x)) - bed.plane[0]
    most = SEEN + NOISES * bed.noise
    # Green alone tells of most pixels that they are the card's: the other two are not looked at.
    bare = down[:, None, 1] + (across + stripes[columns])[:, 1]
    row, place = np.nonzero(np.abs(picture[:, columns, 1] - bare) < most)
    own, shift = picture[row, columns[place]].astype(np.float32), stripes[columns[place]]
    off = own - down[row] - across[place]
    as_bed = np.abs(off - shift).max(axis=1)
    near = as_bed < np.minimum(np.abs(off).max(axis=1), most)
    even = np.clip(np.rint(own[near] - shift[near]), 0, 255)
    picture[row[near], columns[place[near]]] = even
