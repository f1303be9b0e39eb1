"""A card upright and straight out of its scan, and levels for cards that scan dark. The scan itself
stays as it is."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

from PIL import Image

from tagger.imaging.card.card_edges import MM, Corners, Edges, side_lengths

if TYPE_CHECKING:
    from tagger.core.model.pose import Point

Colour = tuple[int, int, int]
Affine = tuple[float, float, float, float, float, float]
"""From pixels x, y to others: a x + b y + c, d x + e y + f, in this order, as in Pillow's
`Image.transform`."""
BED = (24, 24, 26)


def straight(
    picture: Image.Image,
    edges: Edges,
    *,
    margin: float = 0.0,
    turn: int = 0,
    dpi: float | None = None,
    resampling: Image.Resampling = Image.Resampling.BICUBIC,
) -> Image.Image:
    """The card of a scan as an RGB picture with its sides along the picture's.

    `margin` is how many mm of what lies around it are kept (cut into it where negative), `turn` is
    0, 90, 180 or 270: by how many degrees the card is turned clockwise after that. `dpi` is the
    dots per inch of the result, by default those of the scan. There is one resampling from scan to
    result; what lies beyond the scan is dark grey. Raises ValueError for another turn.
    """
    return straightening(picture, edges, margin, turn, dpi or edges.dpi).all(resampling)


class Straightening(NamedTuple):
    """A card that lies straight as soon as it is wanted: its size in pixels, the picture that it is
    resampled from, and the map from its pixels to those."""

    size: tuple[int, int]
    source: Image.Image
    to_source: Affine

    def all(self, resampling: Image.Resampling = Image.Resampling.BICUBIC) -> Image.Image:
        """The whole card."""
        return self.part((0, 0, *self.size), resampling)

    def part(
        self,
        box: tuple[int, int, int, int],
        resampling: Image.Resampling = Image.Resampling.BICUBIC,
    ) -> Image.Image:
        """What lies between left, top, right and bottom: that piece of `all`."""
        left, top, right, bottom = box
        a, b, c, d, e, f = self.to_source
        return self.source.transform(
            (right - left, bottom - top),
            Image.Transform.AFFINE,
            (a, b, a * left + b * top + c, d, e, d * left + e * top + f),
            resampling,
            # A grey scan has one band, and takes no more numbers than that.
            fillcolor=BED[: len(self.source.getbands())],
        )


def straightening(
    picture: Image.Image, edges: Edges, margin: float, turn: int, dots: float
) -> Straightening:
    """How a card is made straight, as `straight` does it at so many dots per inch. Raises
    ValueError for another turn."""
    if turn not in (0, 90, 180, 270):
        raise ValueError(f"a card is turned by 0, 90, 180 or 270 degrees, not by {turn}")
    corners = turned_corners(edges.corners, turn)
    across, down = side_lengths(corners)
    scale = dots / edges.dpi
    room = margin / MM * dots
    size = (max(1, round(across * scale + 2 * room)), max(1, round(down * scale + 2 * room)))
    source, factor = picture, 1
    # bicubic looks at four pixels by four: what is made much smaller is averaged first
    if scale <= 0.5:
        factor = int(1 / scale)
        source = picture.reduce(factor)
    near = tuple((x / factor, y / factor) for x, y in corners)
    card = (room, across * scale, down * scale)
    return Straightening(
        size, source, card_affine((near[0], near[1], near[2], near[3]), size, card)
    )


def turned_corners(corners: Corners, turn: int) -> Corners:
    """The same corners, the one first that is left upper after the card was turned clockwise by so
    many degrees."""
    # A quarter clockwise brings the corner that was left lower to the left upper place.
    first = (-turn // 90) % 4
    out = corners[first:] + corners[:first]
    return out[0], out[1], out[2], out[3]


def card_affine(
    corners: Corners, size: tuple[float, float], card: tuple[float, float, float]
) -> Affine:
    """From a straight picture of a card to its scan: the affine map that fits the four corners
    best.

    `size` is the picture's width and height, `card` the margin around the card in it, the card's
    width and its height, all in the picture's pixels; what the margins leave over is shared between
    the two sides."""
    room, wide, high = card
    # what rounding the size left over
    slack = (
        (size[0] - wide) / 2 - room,
        (size[1] - high) / 2 - room,
    )
    left, upper = room + slack[0], room + slack[1]
    middle = (sum(x for x, _ in corners) / 4, sum(y for _, y in corners) / 4)
    # An affine map has one step across and one down: opposite sides, never quite as long as each
    # other, share it.
    right = _mean_step(corners[0], corners[1], corners[3], corners[2], wide)
    down = _mean_step(corners[0], corners[3], corners[1], corners[2], high)
    x, y = left + wide / 2, upper + high / 2
    return (
        right[0], down[0], middle[0] - right[0] * x - down[0] * y,
        right[1], down[1], middle[1] - right[1] * x - down[1] * y,
    )  # fmt: skip


def _mean_step(a: Point, b: Point, c: Point, d: Point, length: float) -> Point:
    """The mean of the ways from a to b and from c to d, for one pixel of `length`."""
    return ((b[0] - a[0] + d[0] - c[0]) / 2 / length, (b[1] - a[1] + d[1] - c[1]) / 2 / length)


class ToneLevels(NamedTuple):
    """How a picture is brightened: what becomes black and white (0 to 255), and a gamma (above 1:
    lighter middle)."""

    black: float = 0.0
    white: float = 255.0
    gamma: float = 1.0

    @property
    def plain(self) -> bool:
        """Whether it leaves a picture as it is."""
        return self == ToneLevels()


def levels_for(picture: Image.Image, *, most: float = 2.5, middle: float = 110.0) -> ToneLevels:
    """Levels that bring out a card that scanned dark, as shiny ones do; plain levels for a card
    that did not.

    The darkest and the lightest two in a hundred become black and white, the median `middle`. The
    contrast is raised by at most `most` times, the gamma to at most 2."""
    grey = picture.convert("L").resize((128, 180), Image.Resampling.BOX)
    counts = grey.histogram()
    low, half, high = (_share(counts, part) for part in (0.02, 0.5, 0.98))
    if half >= 0.75 * middle and high >= 170:
        return ToneLevels()
    # White comes down no farther than that: contrast is raised by at most `most` times.
    white = min(255.0, max(high, low + 255 / most))
    black = min(low, 40.0) if white - min(low, 40.0) >= 255 / most else max(0.0, white - 255 / most)
    part = min(0.98, max(0.02, (half - black) / (white - black)))
    gamma = min(2.0, max(1.0, math.log(part) / math.log(middle / 255)))
    return ToneLevels(round(black, 1), round(white, 1), round(gamma, 2))


def _share(counts: list[int], part: float) -> float:
    """The level that `part` of the pixels do not exceed."""
    wanted, seen = part * sum(counts), 0
    for level, count in enumerate(counts):
        seen += count
        if seen >= wanted:
            return float(level)
    return 255.0


def levelled(picture: Image.Image, levels: ToneLevels) -> Image.Image:
    """The picture with other levels, as a new picture; the same one where the levels are plain."""
    if levels.plain:
        return picture
    span = max(1.0, levels.white - levels.black)
    table = [
        round(255 * min(1.0, max(0.0, (value - levels.black) / span)) ** (1 / levels.gamma))
        for value in range(256)
    ]
    # All channels alike, so that no colour changes its hue.
    return picture.point(table * len(picture.getbands()))


def upright_turn(edges: Edges, upside_down: bool = False) -> int:
    """By how many degrees (clockwise) a card is turned to stand: 90 from its side, and 180 more if
    `upside_down`."""
    return (90 if edges.sideways else 0) + (180 if upside_down else 0)
