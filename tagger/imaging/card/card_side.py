"""One side of a card to a fraction of a pixel, and how sure its place is."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from tagger.imaging.card.card_edges import MM
from tagger.imaging.card.lines import WORK_DPI, FittedLine
from tagger.imaging.card.refined_line import refine

if TYPE_CHECKING:
    from tagger.core.model.pose import Point
    from tagger.imaging.card.edge_lines import EdgeLine
    from tagger.imaging.card.edge_pairs import Plane

# Variances in pixels at 300 dpi: of a soft side, and on a light bed of one that is sharp, faint, or
# has its places far from it. Of the last three, 9 in 10 sides of tuning scans were off by at most
# .4, 2.4 and 3.5 pixels.
DOUBT_SOFT = 2.0
SHARP, FAINT, SCATTERED = 0.1, 1.0, 4.0
MOST_SOFT = 7.0  # pixels at 300 dpi; see `drawn_together`
CUT = 2.0  # variance in pixels at 300 dpi of a card's size: they are cut to about 0.12 mm
FAINT_STEP, FAR_SPREAD = 9.0, 0.6  # levels from pixel to pixel, pixels: what is faint, and far


@dataclass(frozen=True)
class CardScale:
    """Dots per inch of the working picture, whether they are known, and the short and long side
    of a card in mm. Where they are not known they follow from the card, so that its size proves
    nothing. `guessed`: the size is only about that of what stands out."""

    dots: float
    size: tuple[float, float]
    known: bool
    guessed: bool = False

    def pixels(self, length: float) -> float:
        """A length in mm as pixels."""
        return length / MM * self.dots

    @property
    def short(self) -> float:
        """The card's short side in pixels."""
        return self.pixels(self.size[0])

    @property
    def long(self) -> float:
        """The card's long side in pixels."""
        return self.pixels(self.size[1])

    def off(self, width: float, height: float) -> float:
        """By how many mm a card of that width and height in mm is not of the known size."""
        short, long = sorted((width, height))
        return max(abs(short - self.size[0]), abs(long - self.size[1]))


@dataclass(frozen=True)
class CardSide:
    """One side of a card. The line runs down its plane, and the card lies `inward` of it: 1 for
    left and upper, -1 for right and lower. `agree` and `soft` are as in `RefinedLine`, `support`
    and `clear` as in `EdgeLine`. `doubt` is the variance of its place, in pixels at 300 dpi."""

    line: FittedLine
    agree: float
    soft: bool
    support: float
    clear: float
    plane: Plane
    inward: int
    doubt: float = 0.0

    @property
    def turn(self) -> float:
        """By how many degrees a card with this side is turned."""
        degrees = math.degrees(math.atan(self.line.slope))
        return -degrees if self.plane.turned else degrees

    def turned(self, turn: float) -> CardSide:
        """A side that is in much doubt as that of a card which is turned by so many degrees."""
        if self.doubt < SCATTERED:
            return self
        slope = math.tan(math.radians(-turn if self.plane.turned else turn))
        # That of a card which is turned clockwise goes left on its way down.
        middle = sum(self.plane.reach) / 2
        at = float(self.line.place(middle)) - slope * middle
        return replace(self, line=replace(self.line, at=at, slope=slope))

    def moved(self, by: float) -> CardSide:
        """The side moved by so many pixels across its run."""
        return replace(self, line=replace(self.line, at=self.line.at + by))


def refined_side(
    plane: Plane, one: EdgeLine, inward: int, *, light: bool, shadows: bool = True
) -> CardSide:
    """The side beside a line, to a fraction of a pixel."""
    at = (one.line.at, one.line.slope, inward, shadows)
    found = plane.refined.get(at)
    if found is None:
        found = refine(plane.levels, one.line, plane.reach, inward, shadows=shadows)
        plane.refined[at] = found
    doubt = DOUBT_SOFT if found.soft else 0.0
    if light:
        scattered = found.line.spread > FAR_SPREAD or not shadows
        faint = FAINT if one.sharp < FAINT_STEP else SHARP
        doubt = max(doubt, SCATTERED if scattered else faint)
    return CardSide(
        found.line, found.agree, found.soft, one.support, one.clear, plane, inward, doubt
    )


def corner_of(down: FittedLine, across: FittedLine) -> Point:
    """Where a line that runs down and one that runs across meet."""
    y = (across.at + across.slope * down.at) / (1 - across.slope * down.slope)
    return down.at + down.slope * y, y


def middle_of(near: CardSide, far: CardSide) -> float:
    return (near.line.at + far.line.at) / 2


def gap_between(near: CardSide, far: CardSide, middle: float) -> float:
    """How many pixels two opposite sides are apart at a place along them."""
    return float(far.line.place(middle) - near.line.place(middle))


def drawn_together(
    near: CardSide, far: CardSide, gap: float, wanted: float, scale: CardScale
) -> tuple[CardSide, CardSide]:
    """Two opposite sides, those that are in doubt moved towards the wanted distance."""
    over = gap * math.cos(math.atan(near.line.slope)) - wanted
    doubt = near.doubt + far.doubt
    # Farther than a shadow reaches it is no soft edge of a card of this size.
    if not doubt or abs(over) >= MOST_SOFT * scale.dots / WORK_DPI:
        return near, far
    part = over / (doubt + CUT)
    return near.moved(part * near.doubt), far.moved(-part * far.doubt)
