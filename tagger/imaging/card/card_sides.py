"""The four sides of a card to a fraction of a pixel, held against each other and against the known
size."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import product
from typing import TYPE_CHECKING, Literal

import numpy as np

from tagger.core.audit.card_size import is_of_size
from tagger.imaging.card.card_edges import MM, Corners, Edges, NoEdges, side_lengths
from tagger.imaging.card.card_side import (
    SCATTERED,
    CardScale,
    CardSide,
    corner_of,
    drawn_together,
    gap_between,
    middle_of,
    refined_side,
)
from tagger.imaging.card.lines import FittedLine
from tagger.imaging.card.refined_line import faint_beyond, refine, steps_there

if TYPE_CHECKING:
    from tagger.imaging.card.edge_lines import EdgeLine
    from tagger.imaging.card.edge_pairs import EdgePair, Plane

LEAST = 0.5  # confidence below which no edges are given
# how far a card may be from the known size where only the size tells its edge from a frame
SIZE_OFF_MM = 0.75
# how far a card may be from what stands out, which is larger by a shadow on both sides
GUESS_OFF_MM = 4.4
CLEAR_CROOKED, CROOKED = 0.5, 0.3  # degrees off a rectangle, with the bed on all sides and without
# Of sides that are all in some doubt: degrees off a rectangle, and of opposite ones off each other.
# A feeder may shear a card, but that leaves them parallel.
DOUBTED, FANNED = 0.4, 0.25
SHADOWED = 1.0  # pixels that a side was moved by for its shadow, from which on that may be wrong
BESIDE_SHADOW = 3.0  # pixels off the known size that weigh as much as half a side's places
INSET = (3.0, 16.0)  # pixels that a side may lie farther in than the known size has it, by print
FIRM = (0.8, 0.5)  # `agree` and `support` of three sides at least, by which a fourth is assumed
SEEN_AGAIN, ASSUMED = 0.75, 0.6  # confidence with one side that was looked for again, or not found

Name = Literal["left", "right", "upper", "lower"]
NAMES: tuple[Name, ...] = ("left", "right", "upper", "lower")


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
        return (
            corner_of(left, upper),
            corner_of(right, upper),
            corner_of(right, lower),
            corner_of(left, lower),
        )

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
        """The sides, those that are not seen as near as cards are cut moved towards the known size,
        each as far as its own part of the doubt."""
        across = gap_between(self.left, self.right, middle_of(self.upper, self.lower))
        down = gap_between(self.upper, self.lower, middle_of(self.left, self.right))
        width, height = scale.short, scale.long
        if across >= down:
            width, height = height, width
        return Sides(
            *drawn_together(self.left, self.right, across, width, scale),
            *drawn_together(self.upper, self.lower, down, height, scale),
        )

    def squared(self) -> Sides:
        """The sides, those whose places are scattered turned as the others are."""
        usual = [side.turn for side in self.all if side.doubt < SCATTERED]
        if not usual or len(usual) == len(self.all):
            return self
        turn = math.fsum(usual) / len(usual)
        return Sides(*(side.turned(turn) for side in self.all))

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
        crooked = self.crooked
        if crooked > (CLEAR_CROOKED if contrast else CROOKED):
            return NoEdges("shape", f"{crooked:.2f} degrees")
        # A line that half of a side does not lie on goes through print.
        if self.agree < 0.55:
            return NoEdges("unclear", f"{self.agree:.2f} agree")
        # Without the bed outside a side may be an inner frame: then only the size speaks for it.
        seen = (min(width, height), max(width, height))
        off = scale.off(width, height)
        if scale.guessed:
            alike = off <= GUESS_OFF_MM
        else:
            alike = is_of_size(seen, scale.size) if contrast else off <= SIZE_OFF_MM
        return None if alike else NoEdges("size", f"{width:.1f} x {height:.1f} mm")

    @property
    def crooked(self) -> float:
        """By how many degrees the sides are no rectangle's."""
        return max(self.fanned, abs(math.fsum(self._slopes) / 2))

    @property
    def fanned(self) -> float:
        """By how many degrees opposite sides are not parallel."""
        left, right, upper, lower = self._slopes
        return max(abs(left - right), abs(upper - lower))

    @property
    def _slopes(self) -> list[float]:
        return [math.degrees(math.atan(side.line.slope)) for side in self.all]

    def beyond_print(self, scale: CardScale) -> Sides:
        """The sides, one of two that are too near each other for the known size moved to a faint
        line where that has it: on a dark bed, of a card as dark, print along the edge stands out
        more than the edge. What is seen outside of both is the halo that sharpening draws."""
        moved: dict[str, CardSide] = {}
        for pair in (NAMES[:2], NAMES[2:]):
            found = [(name, self._beyond_print(name, scale)) for name in pair]
            seen = [(name, side) for name, side in found if side is not None]
            if len(seen) == 1:
                moved.update(seen)
        return replace(self, **moved) if moved else self

    def _beyond_print(self, name: Name, scale: CardScale) -> CardSide | None:
        """A side at the faint line outside of it, None where none is seen, or wanted, there."""
        side: CardSide = getattr(self, name)
        middle = sum(side.plane.reach) / 2
        assumed = float(self._assumed(name, scale).place(middle))
        inset = side.inward * (float(side.line.place(middle)) - assumed)
        if not INSET[0] <= inset <= INSET[1]:
            return None
        edge = faint_beyond(side.plane.levels, side.line, side.plane.reach, side.inward, inset)
        return None if edge is None else replace(side, line=edge)

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
        # Peaks of noise agree as well, but make no step.
        seen = seen and steps_there(old.plane.levels, again.line, old.plane.reach, old.inward)
        others = [side for side in self.all if side is not old]
        if not seen and not all(
            side.agree >= FIRM[0] and side.support >= FIRM[1] and not side.soft for side in others
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
        middle = middle_of(*others)
        at = float(opposite.line.place(middle)) + opposite.inward * away
        return FittedLine(at - slope * middle, slope)

    def _length(self, across: float, scale: CardScale) -> float:
        """Which of the card's two lengths a side has, in pixels: the one that the two sides beside
        it, so many pixels apart, do not have."""
        gap = across / scale.dots * MM
        short, long = scale.size
        return scale.short if abs(gap - long) < abs(gap - short) else scale.long


def refined_sides(
    columns: EdgePair, rows: EdgePair, size: tuple[float | None, float | None], *, light: bool
) -> Sides:
    """The chosen sides to a fraction of a pixel. `size`: the width and height in pixels that they
    should make, None where that is not known; `light`: on a light bed."""
    return Sides(
        *_refined_pair(columns, size[0], light=light), *_refined_pair(rows, size[1], light=light)
    )


def _refined_pair(
    pair: EdgePair, wanted: float | None, *, light: bool
) -> tuple[CardSide, CardSide]:
    """Two opposite sides. Where one lies on what may be its shadow, it is taken with it or without,
    whichever makes the wanted distance."""
    near = _refinements(pair.plane, pair.near, 1, light=light)
    far = _refinements(pair.plane, pair.far, -1, light=light)
    if wanted is None:
        return near[0], far[0]
    middle = sum(pair.plane.reach) / 2

    def unlikely(both: tuple[CardSide, CardSide]) -> tuple[int, float]:
        gap = gap_between(*both, middle) * math.cos(math.atan(both[0].line.slope))
        # However well it lies, through places that all disagree there is no line.
        none = sum(not side.agree for side in both)
        off = ((gap - wanted) / BESIDE_SHADOW) ** 2 - 2 * (both[0].agree + both[1].agree)
        return none, off

    # The first ones, which are as the shadow says, where nothing speaks for others.
    return min(product(near, far), key=unlikely)


def _refinements(plane: Plane, one: EdgeLine, inward: int, *, light: bool) -> list[CardSide]:
    """The side beside a line; where that was taken for a shadow the line itself, too."""
    found = [refined_side(plane, one, inward, light=light)]
    middle = sum(plane.reach) / 2
    if abs(float(found[0].line.place(middle) - one.line.place(middle))) > SHADOWED:
        found.append(refined_side(plane, one, inward, light=light, shadows=False))
    return found


def card_of(sides: Sides, scale: CardScale) -> Edges | NoEdges:
    """The card that four sides make, if need be with the weakest of them in another place."""
    if not scale.known:
        return _of_its_own_dots(sides, scale)
    contrast, confidence, crooked = sides.clear, sides.confidence, sides.crooked
    sides = sides.squared()
    lines = sides.corners if confidence >= LEAST else None
    if scale.guessed:
        found = sides.card(scale, contrast, confidence)
        return found if isinstance(found, Edges) else found._replace(lines=lines)
    made = sides.size(scale)
    sides = sides.fitted(scale)
    found = sides.card(scale, contrast, confidence)
    # Of sides that are all in some doubt, as on a light bed, each must say the same.
    doubted = min(side.doubt for side in sides.all) > 0
    if doubted and (crooked > DOUBTED or sides.fanned > FANNED):
        return NoEdges("shape", f"{crooked:.2f} degrees", lines)
    if isinstance(found, Edges):
        return replace(found, seen=made)
    again = _with_another_side(sides, scale, found.reason == "size" and contrast)
    return again if isinstance(again, Edges) else found._replace(lines=lines)


def _of_its_own_dots(sides: Sides, scale: CardScale) -> Edges | NoEdges:
    """The card of a scan whose dots per inch nothing says: they follow from the card's size."""
    dots = sides.dots(scale.size)
    if dots <= 0:  # two opposite sides are one line
        return NoEdges("size", "")
    return sides.card(replace(scale, dots=dots), False, sides.confidence)


def _with_another_side(sides: Sides, scale: CardScale, all_clear: bool) -> Edges | NoEdges | None:
    """The card with the weakest side in another place. `all_clear`: the sides are all clear and not
    of the known size, so that this needs a line of its own there."""
    without = sides.without_weakest(scale)
    if without is None:
        return None
    other, seen = without
    # four clear sides and nothing where the known size would have one: another size
    if all_clear and not seen:
        return None
    return other.card(scale, False, SEEN_AGAIN if seen else ASSUMED)
