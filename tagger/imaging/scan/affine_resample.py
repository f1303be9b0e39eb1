"""What is shown of a scan: a part of it, turned, or its card straight and cropped; from the file to
it in one step.

The way from the pixels that are shown to those of the file is one affine map: back through the
pose, the part and the EXIF orientation. Where its axes stay axes the file's pixels are resized in
a box and turned, otherwise they are looked up under the map. Loads no numpy. Coordinates are
pixels, (0, 0) at the outer corner of the first one."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING, NamedTuple

from PIL import Image

from tagger.imaging.card.card_edges import CARD_MM, MM, side_lengths
from tagger.imaging.card.deskew import BED, Affine, card_affine, turned_corners

if TYPE_CHECKING:
    from tagger.core.feeding.order import Box
    from tagger.core.model.pose import Corners4, Pose

Transpose = Image.Transpose
Rect = tuple[float, float, float, float]  # left, upper, right, lower
Size = tuple[float, float]
Look = Callable[[Image.Image, Affine, tuple[int, int]], Image.Image | None]
"""Pixels under a map from those of the result, of that size; None where it is not made for such a
map."""
# From a picture that is turned so to the one it was made of: the linear part of the map.
WAYS = {
    None: (1, 0, 0, 1),
    Transpose.FLIP_LEFT_RIGHT: (-1, 0, 0, 1),
    Transpose.ROTATE_180: (-1, 0, 0, -1),
    Transpose.FLIP_TOP_BOTTOM: (1, 0, 0, -1),
    Transpose.TRANSPOSE: (0, 1, 1, 0),
    Transpose.ROTATE_270: (0, 1, -1, 0),  # Pillow turns the other way: a quarter clockwise
    Transpose.TRANSVERSE: (0, -1, -1, 0),
    Transpose.ROTATE_90: (0, -1, 1, 0),
}
# How a picture is put upright by its EXIF orientation, 1 to 8: CIPA DC-008 (Exif 2.32), 4.6.4.A,
# tag 0112.
UPRIGHT = dict(enumerate(WAYS, start=1))
_TURNS = {0: None, 90: Transpose.ROTATE_270, 180: Transpose.ROTATE_180, 270: Transpose.ROTATE_90}


# look-ups: of so many, by two pixels by two, a picture is as good as by four by four
MANY = 100_000
# pixels for one of the result, up to which one look-up sees them all
ONE_LOOK = 1.22


class Resampling(NamedTuple):
    """What is shown: its width and height in pixels of the full-size scan, the map from these to
    the file's pixels as they are stored, and the part of the file that may be looked at, in stored
    pixels."""

    size: Size
    to_stored: Affine
    bounds: Rect

    def paint(
        self,
        pixels: Image.Image,
        fine: tuple[float, float],
        piece: Rect,
        target: tuple[int, int],
        filter_: Image.Resampling,
        look: Look | None = None,
    ) -> Image.Image:
        """A piece of what is shown as a picture of the size `target`.

        `pixels` are the file's, RGB as stored, of which the decoder made `fine` (across and down)
        for one of the file. `look` is asked first where pixels are looked up, once the picture is
        turned by quarters."""
        a, b, _, d, e, _ = self.to_stored
        here = _after((fine[0], 0, 0, 0, fine[1], 0), self.to_stored)
        bounds = _scaled(self.bounds, fine)
        ways = [way for way, linear in WAYS.items() if linear == (a, b, d, e)]
        # Where axes stay axes a box resize sees every pixel, and is quicker than looking them up.
        if ways and _within(_mapped(self.to_stored, piece), self.bounds):
            return _resized(pixels, _mapped(here, piece), bounds, target, ways[0], filter_)
        across, down = (piece[2] - piece[0]) / target[0], (piece[3] - piece[1]) / target[1]
        from_target = _after(here, (across, 0, piece[0], 0, down, piece[1]))
        return _looked_up(pixels, from_target, bounds, target, look)


def resampling(
    stored: tuple[int, int], orientation: int, part: Box | None, pose: Pose
) -> Resampling:
    """What a pose shows of a file of so many pixels as stored, or of a part of it (left, upper,
    width and height in pixels of the upright scan, inside of it). `orientation` is the EXIF one.
    Corners that make no card are left out."""
    way = UPRIGHT.get(orientation)
    size: Size = upright_size(stored, orientation)
    place = _put(way, stored)
    bounds = (0.0, 0.0, float(size[0]), float(size[1]))
    if part is not None:
        left, upper, width, height = part
        bounds = (left, upper, left + width, upper + height)
        size, place = (width, height), _after(place, (1, 0, left, 0, 1, upper))
    whole, in_size = _posed(pose, size)
    return Resampling(whole, _after(place, in_size), _mapped(_put(way, stored), bounds))


def _posed(pose: Pose, size: Size) -> tuple[Size, Affine]:
    """The size of what a pose shows of a picture of that size, and the map from it to that."""
    if pose.corners is not None and _near(pose.corners, size):
        corners = turned_corners(pose.corners, pose.turn)
        lengths = side_lengths(corners)
        if min(lengths) >= 1:
            return _straight(pose, corners, lengths)
    width, height = size
    if pose.turn in (90, 270):
        width, height = height, width
    return (float(width), float(height)), _put(_TURNS[pose.turn], size)


def _straight(pose: Pose, corners: Corners4, lengths: Size) -> tuple[Size, Affine]:
    """The same for a card that is shown straight and cropped."""
    dots = pose.dpi
    if dots <= 0:
        dots = MM * math.sqrt(lengths[0] * lengths[1] / (CARD_MM[0] * CARD_MM[1]))
    # A margin may cut into the card, but must leave a pixel of it; and one that is larger than the
    # card is a mistake that would take memory without end.
    room = max(0.5 - min(lengths) / 2, min(pose.margin / MM * dots, max(lengths)))
    whole = (lengths[0] + 2 * room, lengths[1] + 2 * room)
    return whole, card_affine(corners, whole, (room, *lengths))


def upright_size(stored: tuple[int, int], orientation: int) -> tuple[int, int]:
    """From the size of a picture as it is stored to that of the upright one."""
    width, height = stored
    if WAYS[UPRIGHT.get(orientation)][0] == 0:
        return height, width
    return width, height


def stored_box(
    stored: tuple[int, int], orientation: int, part: Box, factor: int
) -> tuple[int, int, int, int]:
    """A part of the upright scan as left, upper, right, lower in pixels as stored, a whole number
    of which is one."""
    box = (part[0], part[1], part[0] + part[2], part[1] + part[3])
    left, upper, right, lower = _mapped(_put(UPRIGHT[orientation], stored), box)
    return (
        int(left // factor),
        int(upper // factor),
        int(-(-right // factor)),
        int(-(-lower // factor)),
    )


def _near(corners: Corners4, size: Size) -> bool:
    """Whether corners lie on a picture, or no farther beside it than it is large."""
    return all(-size[0] <= x <= 2 * size[0] and -size[1] <= y <= 2 * size[1] for x, y in corners)


def _put(way: Transpose | None, size: Size) -> Affine:
    """From a picture that was turned or mirrored so to the one of that size that it was made of."""
    a, b, d, e = WAYS[way]
    # An axis that runs backwards begins at the far end.
    x, y = (length * (min(axis) < 0) for length, axis in zip(size, ((a, b), (d, e)), strict=True))
    return a, b, x, d, e, y


def _after(second: Affine, first: Affine) -> Affine:
    """The map that does one and then the other."""
    a, b, c, d, e, f = second
    g, h, i, j, k, m = first
    return (
        a * g + b * j,
        a * h + b * k,
        a * i + b * m + c,
        d * g + e * j,
        d * h + e * k,
        d * i + e * m + f,
    )


def _mapped(way: Affine, rect: Rect) -> Rect:
    """The box around a rectangle under a map."""
    a, b, c, d, e, f = way
    xs = [a * x + b * y + c for x in rect[::2] for y in rect[1::2]]
    ys = [d * x + e * y + f for x in rect[::2] for y in rect[1::2]]
    return min(xs), min(ys), max(xs), max(ys)


def _scaled(rect: Rect, by: tuple[float, float]) -> Rect:
    return rect[0] * by[0], rect[1] * by[1], rect[2] * by[0], rect[3] * by[1]


def _within(inner: Rect, outer: Rect) -> bool:
    """Whether a rectangle lies in another, to a thousandth of a pixel."""
    (a, b, c, d), (left, upper, right, lower) = inner, outer
    return min(a - left, b - upper, right - c, lower - d) > -0.001


def _resized(
    pixels: Image.Image,
    piece: Rect,
    bounds: Rect,
    target: tuple[int, int],
    way: Transpose | None,
    filter_: Image.Resampling,
) -> Image.Image:
    """A box of the file's pixels made that large, then turned."""
    left, upper = max(0.0, bounds[0]), max(0.0, bounds[1])
    right, lower = min(bounds[2], pixels.width), min(bounds[3], pixels.height)
    box = (max(left, piece[0]), max(upper, piece[1]), min(right, piece[2]), min(lower, piece[3]))
    part = (math.floor(left), math.floor(upper), math.ceil(right), math.ceil(lower))
    if part != (0, 0, *pixels.size):  # resizing looks beyond the box, but must not beyond the part
        pixels = pixels.crop(part)
        box = (box[0] - part[0], box[1] - part[1], box[2] - part[0], box[3] - part[1])
    if way is None:
        return pixels.resize(target, filter_, box=box)
    size = target[::-1] if WAYS[way][0] == 0 else target
    # Made small before it is turned: that turns a few pixels in place of all.
    return pixels.resize(size, filter_, box=box).transpose(way)


def _looked_up(
    pixels: Image.Image, way: Affine, bounds: Rect, target: tuple[int, int], look: Look | None
) -> Image.Image:
    """The file's pixels under a map from the result's.

    A look-up sees four pixels by four. Where more of the file go into one of the result, they are
    averaged in blocks beforehand, and four are looked up for each: that comes within two levels of
    a card that is made straight in all its pixels and then made smaller."""
    step = min(math.hypot(way[0], way[3]), math.hypot(way[1], way[4]))
    block = max(1, min(round(step / 2), *pixels.size))
    near = _mapped(way, (0, 0, *target))
    spare = 4 * block
    box = (
        max(0, math.floor(max(bounds[0], near[0] - spare))),
        max(0, math.floor(max(bounds[1], near[1] - spare))),
        min(pixels.width, math.ceil(min(bounds[2], near[2] + spare))),
        min(pixels.height, math.ceil(min(bounds[3], near[3] + spare))),
    )
    if box[0] >= box[2] or box[1] >= box[3]:
        return Image.new("RGB", target, BED)
    source = pixels.reduce(block, box) if block > 1 else pixels.crop(box)
    there = _after((1 / block, 0, -box[0] / block, 0, 1 / block, -box[1] / block), way)
    if step / block <= ONE_LOOK:
        found = _asked(look, source, there, target) if look else None
        if found is not None:
            return found
        return source.transform(
            target, Image.Transform.AFFINE, there, Image.Resampling.BICUBIC, fillcolor=BED
        )
    # Twice as many look-ups each way, two by two of them averaged: else every other pixel is lost.
    there = _after(there, (0.5, 0, 0, 0, 0.5, 0))
    size = (target[0] * 2, target[1] * 2)
    kernel = Image.Resampling.BILINEAR if size[0] * size[1] > MANY else Image.Resampling.BICUBIC
    found = source.transform(size, Image.Transform.AFFINE, there, kernel, fillcolor=BED)
    return found.resize(target, Image.Resampling.BICUBIC)


def _asked(
    look: Look, pixels: Image.Image, there: Affine, target: tuple[int, int]
) -> Image.Image | None:
    """What a look-up makes of pixels that are turned by quarters first, so that their axes are
    nearly the result's."""
    near = tuple(round(there[at]) for at in (0, 1, 3, 4))
    ways = [way for way, linear in WAYS.items() if linear == near]
    if not ways:
        return None
    if ways[0] is not None:
        # the inverse of a map that turns by quarters: its linear part transposed
        a, b, x, d, e, y = _put(ways[0], pixels.size)
        back = (a, d, -(a * x + d * y), b, e, -(b * x + e * y))
        pixels, there = pixels.transpose(ways[0]), _after(back, there)
    return look(pixels, there, target)
