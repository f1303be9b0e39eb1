"""The four sides of a card to a fraction of a pixel, held against each other and against the known
size."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

import numpy as np

from tagger.imaging.card.card_edges import MM, Corners, Edges, NoEdges, side_lengths
from tagger.imaging.card.lines import WORK_DPI, FittedLine
from tagger.imaging.card.refined_line import refine

if TYPE_CHECKING:
    from tagger.core.model.pose import Point
    from tagger.imaging.card.edge_lines import EdgeLine
    from tagger.imaging.card.edge_pairs import EdgePair, Plane

LEAST = 0.5  # confidence below which no edges are given
CLEAR_OFF_MM = 1.3  # how far a card may be from the known size where the bed is seen on all sides
# how far a card may be from the known size where only the size tells its edge from a frame
SIZE_OFF_MM = 0.75
CLEAR_CROOKED, CROOKED = 0.5, 0.3  # degrees off a rectangle, with the bed on all sides and without
SOFT, MOST_SOFT = 0.5, 7.0  # see `Sides.fitted`; pixels at 300 dpi
FIRM = (0.8, 0.5)  # `agree` and `support` of three sides at least, by which a fourth is assumed
SEEN_AGAIN, ASSUMED = 0.75, 0.6  # confidence with one side that was looked for again, or not found

Name = Literal["left", "right", "upper", "lower"]
NAMES: tuple[Name, ...] = ("left", "right", "upper", "lower")


@dataclass(frozen=True)
class CardScale:
    """Dots per inch of the working picture, whether they are known, and the short and long side
    of a card in mm. Where they are not known they follow from the card, so that its size proves
    nothing."""

    dots: float
    size: tuple[float, float]
    known: bool

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
    and `clear` as in `EdgeLine`."""

    line: FittedLine
    agree: float
    soft: bool
    support: float
    clear: float
    plane: Plane
    inward: int

    @property
    def turn(self) -> float:
        """By how many degrees a card with this side is turned."""
        degrees = math.degrees(math.atan(self.line.slope))
        return -degrees if self.plane.turned else degrees

    def moved(self, by: float) -> CardSide:
        """The side moved by so many pixels across its run."""
        return replace(self, line=replace(self.line, at=self.line.at + by))


def _refined(plane: Plane, one: EdgeLine, inward: int) -> CardSide:
    found = refine(plane.levels, one.line, plane.reach, inward)
    return CardSide(found.line, found.agree, found.soft, one.support, one.clear, plane, inward)


@dataclass(frozen=True)
class Sides:
    """The four sides of a card. Left and right are x over y, upper and lower are y over x."""

    left: CardSide
    right: CardSide
    upper: CardSide
    lower: CardSide

    @property
    def all(self) -> tuple[CardSide, CardSide, CardSide, CardSide]:
        """Left, right, upper, lower."""
        return self.left, self.right, self.upper, self.lower

    @property
    def corners(self) -> Corners:
        """Left upper, right upper, right lower, left lower."""
        left, right, upper, lower = (side.line for side in self.all)
        return _meet(left, upper), _meet(right, upper), _meet(right, lower), _meet(left, lower)

    @property
    def agree(self) -> float:
        """The share of the places of a side that agree with it, of the worst one."""
        return min(side.agree for side in self.all)

    @property
    def clear(self) -> bool:
        """Whether the bed is seen outside of all four sides."""
        return min(side.clear for side in self.all) >= 0.75 and self._support >= 0.6

    @property
    def confidence(self) -> float:
        """How sure the sides are, 0 to 1: continuous, straight, and drawn through what is near."""
        blurred = max(side.line.spread for side in self.all)
        return (self._support + 1) / 2 * (self.agree + 1) / 2 * min(1.0, 1.35 - blurred / 2)

    @property
    def _support(self) -> float:
        return min(side.support for side in self.all)

    def dots(self, size: tuple[float, float]) -> float:
        """Dots per inch, if these are the sides of a card of that size in mm."""
        corners = self.corners
        area = math.dist(corners[0], corners[1]) * math.dist(corners[0], corners[3])
        return MM * math.sqrt(area / (size[0] * size[1]))

    def size(self, scale: CardScale) -> tuple[float, float]:
        """The width and height in mm."""
        width, height = side_lengths(self.corners)
        return width / scale.dots * MM, height / scale.dots * MM

    def fitted(self, scale: CardScale) -> Sides:
        """The sides, those that are only good to two pixels moved towards the known size.

        Cards are cut to about 0.12 mm, which is nearer than a soft side can be seen: it goes SOFT
        of the way."""
        across = _gap(self.left, self.right, _middle(self.upper, self.lower))
        down = _gap(self.upper, self.lower, _middle(self.left, self.right))
        width, height = scale.short, scale.long
        if across >= down:
            width, height = height, width
        return Sides(
            *_drawn(self.left, self.right, across, width, scale),
            *_drawn(self.upper, self.lower, down, height, scale),
        )

    def card(self, scale: CardScale, contrast: bool, confidence: float) -> Edges | NoEdges:
        """The card that the sides make, or why they make none."""
        corners = self.corners
        width, height = self.size(scale)
        problem = self._problem(scale, contrast, width, height)
        if problem is not None:
            return problem
        if confidence < LEAST:
            return NoEdges("unclear", f"confidence {confidence:.2f}")
        left, right, upper, lower = (side.line.slope for side in self.all)
        angle = math.degrees(math.atan((upper + lower - left - right) / 4))
        return Edges(corners, angle, width, height, scale.dots, confidence, contrast)

    def _problem(
        self, scale: CardScale, contrast: bool, width: float, height: float
    ) -> NoEdges | None:
        """What speaks against these sides, None where nothing does."""
        crooked = self._crooked
        if crooked > (CLEAR_CROOKED if contrast else CROOKED):
            return NoEdges("shape", f"{crooked:.2f} degrees")
        # A line that half of a side does not lie on goes through print.
        if self.agree < 0.55:
            return NoEdges("unclear", f"{self.agree:.2f} agree")
        # Without the bed outside a side may be an inner frame: then only the size speaks for it.
        if scale.off(width, height) > (CLEAR_OFF_MM if contrast else SIZE_OFF_MM):
            return NoEdges("size", f"{width:.1f} x {height:.1f} mm")
        return None

    @property
    def _crooked(self) -> float:
        """By how many degrees the sides are no rectangle's."""
        left, right, upper, lower = (math.degrees(math.atan(side.line.slope)) for side in self.all)
        skew = (left + right) / 2 + (upper + lower) / 2
        return max(abs(left - right), abs(upper - lower), abs(skew))

    def without_weakest(self, scale: CardScale) -> tuple[Sides, bool] | None:
        """The sides with the weakest one looked for again where the other three and the known size
        say that it is; and whether it was seen there, else it is assumed there. None where the
        other three are not clear enough to assume a fourth by them."""
        name = self._weakest
        assumed = self._assumed(name, scale)
        old: CardSide = getattr(self, name)
        again = refine(old.plane.levels, assumed, old.plane.reach, old.inward)
        middle = sum(old.plane.reach) / 2
        away = abs(float(again.line.place(middle) - assumed.place(middle)))
        seen = again.agree >= 0.5 and away <= 3 and abs(again.line.slope - assumed.slope) <= 0.002
        others = [side for side in self.all if side is not old]
        if not seen and not all(
            side.agree >= FIRM[0] and side.support >= FIRM[1] for side in others
        ):
            return None
        # It stands where the others put it, so that it is as good as they are.
        best = max(side.agree for side in self.all)
        found = replace(old, line=again.line if seen else assumed, agree=best)
        return replace(self, **{name: found}), seen

    @property
    def _weakest(self) -> Name:
        """The side that fewest places agree with, and that is turned most against the others."""
        usual = float(np.median([side.turn for side in self.all]))
        # A frame or a shadow may be as straight as an edge, but seldom lies as the card does.
        worth = [side.agree - abs(side.turn - usual) / 0.3 for side in self.all]
        return NAMES[int(np.argmin(worth))]

    def _assumed(self, name: Name, scale: CardScale) -> FittedLine:
        """Where one side must be if the other three are right: as far from its opposite as the card
        is wide or high."""
        match name:
            case "left":
                opposite, others = self.right, (self.upper, self.lower)
            case "right":
                opposite, others = self.left, (self.upper, self.lower)
            case "upper":
                opposite, others = self.lower, (self.left, self.right)
            case "lower":
                opposite, others = self.upper, (self.left, self.right)
        one, other = (side.line for side in others)
        # Parallel to its opposite, square to the two others: what both say, in equal parts.
        slope = (opposite.line.slope - (one.slope + other.slope) / 2) / 2
        away = self._length(abs(one.at - other.at), scale) / math.cos(math.atan(slope))
        middle = _middle(*others)
        at = float(opposite.line.place(middle)) + opposite.inward * away
        return FittedLine(at - slope * middle, slope)

    def _length(self, across: float, scale: CardScale) -> float:
        """Which of the card's two lengths a side has, in pixels: the one that the two sides beside
        it, so many pixels apart, do not have."""
        gap = across / scale.dots * MM
        short, long = scale.size
        return scale.short if abs(gap - long) < abs(gap - short) else scale.long


def refined_sides(columns: EdgePair, rows: EdgePair) -> Sides:
    """The chosen sides to a fraction of a pixel."""
    return Sides(
        _refined(columns.plane, columns.near, 1),
        _refined(columns.plane, columns.far, -1),
        _refined(rows.plane, rows.near, 1),
        _refined(rows.plane, rows.far, -1),
    )


def card_of(sides: Sides, scale: CardScale) -> Edges | NoEdges:
    """The card that four sides make, if need be with the weakest of them in another place."""
    if not scale.known:
        dots = sides.dots(scale.size)
        if dots <= 0:  # two opposite sides are one line
            return NoEdges("size", "")
        own = replace(scale, dots=dots)
        return sides.card(own, False, sides.confidence)
    contrast, confidence = sides.clear, sides.confidence
    lines = sides.corners if confidence >= LEAST else None
    sides = sides.fitted(scale)
    found = sides.card(scale, contrast, confidence)
    if isinstance(found, Edges):
        return found
    found = found._replace(lines=lines)
    without = sides.without_weakest(scale)
    if without is None:
        return found
    other, seen = without
    # four clear sides and nothing where the known size would have one: another size
    if contrast and not seen and found.reason == "size":
        return found
    again = other.card(scale, False, SEEN_AGAIN if seen else ASSUMED)
    return again if isinstance(again, Edges) else found


def _meet(down: FittedLine, across: FittedLine) -> Point:
    """Where a line that runs down and one that runs across meet."""
    y = (across.at + across.slope * down.at) / (1 - across.slope * down.slope)
    return down.at + down.slope * y, y


def _middle(near: CardSide, far: CardSide) -> float:
    return (near.line.at + far.line.at) / 2


def _gap(near: CardSide, far: CardSide, middle: float) -> float:
    """How many pixels two opposite sides are apart at a place along them."""
    return float(far.line.place(middle) - near.line.place(middle))


def _drawn(
    near: CardSide, far: CardSide, gap: float, wanted: float, scale: CardScale
) -> tuple[CardSide, CardSide]:
    """Two opposite sides, those that are soft moved towards the wanted distance."""
    over = gap * math.cos(math.atan(near.line.slope)) - wanted
    soft = near.soft + far.soft
    # Farther than a shadow reaches it is no soft edge of a card of this size.
    if not soft or abs(over) >= MOST_SOFT * scale.dots / WORK_DPI:
        return near, far
    move = SOFT * over / soft
    return (
        near.moved(move) if near.soft else near,
        far.moved(-move) if far.soft else far,
    )
