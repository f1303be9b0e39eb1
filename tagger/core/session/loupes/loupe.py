"""The loupe: which part of a scan is shown large, and where it was left for each set."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import NamedTuple, Protocol

# pixels in which the whole window is shown; a narrower pane shows less of the scan, at the same
# scale
ENOUGH = 80
ROOM = 1.35  # of a place's size that the window has at least where it is held over one
CORNERS = ((1.0, 1.0), (0.0, 1.0), (0.0, 0.0), (1.0, 0.0))  # in the order in which a key goes
SMALLEST, LARGEST = 0.06, 1.0  # width of the window, as a fraction of the scan's


Frame = tuple[float, float, float, float]
"""Left, top, right and lower of what a loupe shows, as fractions of the scan."""


class Pane(NamedTuple):
    """The room the loupe is drawn in, `width` and `height` in pixels; `aspect` is the scan's width
    over its height."""

    width: int
    height: int
    aspect: float = 0.74


@dataclass(frozen=True, slots=True)
class Loupe:
    """A window on one side of a card.

    `x` and `y` are its middle, as fractions (0 to 1) of the scan's width and height; `width` is
    what ENOUGH pixels show of the scan's width. With the width given here a card's figure of 7
    points is six pixels high in any pane. The place at first is the lower right of the back, where
    many cards have their number."""

    side: str = "back"
    x: float = 0.79
    y: float = 0.885
    width: float = 0.325

    def across(self, pixels: int) -> float:
        """How much of the scan's width a pane of so many pixels shows, as a fraction."""
        return self.width * min(1.0, pixels / ENOUGH)

    def down(self, pane: Pane) -> float:
        """How much of the scan's height the pane shows, as a fraction: the pixels are square."""
        return min(1.0, self.across(pane.width) * pane.aspect * pane.height / pane.width)

    def moved(self, dx: float, dy: float, pane: Pane) -> Loupe:
        """Moved by so many windows to the right and down (below 0: left, up), at most to the edge
        of the scan."""
        here = self.inside(pane)
        x, y = here.x + dx * self.across(pane.width), here.y + dy * self.down(pane)
        return replace(here, x=x, y=y).inside(pane)

    def zoomed(self, factor: float, pane: Pane) -> Loupe:
        """With a window that is `factor` times as wide, about the same middle as far as the edges
        let it."""
        return replace(self, width=min(LARGEST, max(SMALLEST, self.width * factor))).inside(pane)

    def frame(self, pane: Pane) -> Frame:
        """What of the scan is shown."""
        here, across, down = self.inside(pane), self.across(pane.width), self.down(pane)
        left, top = here.x - across / 2, here.y - down / 2
        return left, top, left + across, top + down

    def holding(self, width: float, height: float, pane: Pane) -> Loupe:
        """Wide enough to show a place of this size, fractions of the scan, with room around it."""
        # Only wider, never narrower: a small place under a large window can still be read, and the
        # picture does not jump in size from card to card.
        lack = max(width * ROOM / self.across(pane.width), height * ROOM / self.down(pane))
        return self.zoomed(lack, pane) if lack > 1 else self.inside(pane)

    def in_next_corner(self, pane: Pane) -> Loupe:
        """In the corner of the side that comes after the one it is in; at first the lower right."""
        # a window as wide as the side has two corners only
        places = (replace(self, x=x, y=y).inside(pane) for x, y in CORNERS)
        corners = list(dict.fromkeys(places))
        after = corners.index(self) + 1 if self in corners else 0
        return corners[after % len(corners)]

    def flipped(self) -> Loupe:
        """The same window on the other side."""
        return replace(self, side="front" if self.side == "back" else "back")

    def inside(self, pane: Pane) -> Loupe:
        """The nearest place at which the whole window lies on the scan."""
        return replace(
            self, x=_held(self.x, self.across(pane.width)), y=_held(self.y, self.down(pane))
        )


NAME = Loupe("front", 0.5, 0.86, 0.8)
"""Where the second loupe is at first: the lower edge of the front, where many cards have the
name."""


def _held(middle: float, length: float) -> float:
    return min(max(middle, length / 2), 1 - length / 2)


class LoupeMemory(Protocol):
    """Remembers where the loupe was left, by the name of the set; the empty name stands for no set.
    Never raises: what cannot be kept is forgotten."""

    def get(self, set_name: str) -> Loupe | None:
        """The loupe of a set, None where it was never moved there."""

    def put(self, set_name: str, loupe: Loupe) -> object:
        """Remember the loupe of a set."""


class Proposed(NamedTuple):
    """Where the loupe would be for a card by itself, and which design of backs that is for."""

    design: int
    loupe: Loupe


class LoupeInUse:
    """The loupe as it is held over the cards of one set after the other. Where the dealer put it
    goes before what is proposed."""

    def __init__(self, memory: LoupeMemory, first: Loupe = Loupe()) -> None:
        self._memory = memory
        self._now = self._first = first
        self._unsaved: dict[str, Loupe] = {}
        self._inherited: dict[str, Loupe] = {}
        self._put: dict[int, Loupe] = {}  # by the design that it was put over

    def at(self, set_name: str, proposed: Proposed | None = None) -> Loupe:
        """The loupe for a card of this set: where it was put there or over another card of the
        same design; else where it is proposed to be; else where it is now."""
        own = self._own(set_name, proposed)
        if own is None and proposed is not None:
            # what came after a proposal was waited for is of no use to the next sitting
            self._inherited.pop(set_name, None)
            return proposed.loupe
        if own is not None:
            self._now = own
        elif self._now != self._first:
            # the next sitting at this set finds it where this one did
            self._inherited[set_name] = self._now
        return self._now

    def _own(self, set_name: str, proposed: Proposed | None) -> Loupe | None:
        """Where the dealer put it for such a card, None where that was never done."""
        by_set = self._unsaved.get(set_name)
        if proposed is None:
            return by_set or self._inherited.get(set_name) or self._memory.get(set_name)
        by_design = self._put.get(proposed.design)
        # Without a set, cards of any design come: each has its own place.
        if not set_name:
            return by_design
        by_set = by_set or self._memory.get(set_name)
        if by_set is None and by_design is not None:
            by_set = self._unsaved[set_name] = by_design
        return by_set

    def put(self, set_name: str, loupe: Loupe, proposed: Proposed | None = None) -> None:
        """Hold the loupe there over the cards of this set from now on, and over those of the
        design that is proposed for."""
        # Put where it is anyway: remembered, it would hold against the next proposal, though the
        # dealer chose nothing.
        if loupe == self.at(set_name, proposed):
            return
        self._now = self._unsaved[set_name] = loupe
        self._inherited.pop(set_name, None)
        if proposed is not None:
            self._put[proposed.design] = loupe

    def save(self) -> None:
        """Have the memory keep what is new."""
        # What was put by hand last, so that it goes before what was only taken along.
        for set_name, loupe in {**self._inherited, **self._unsaved}.items():
            self._memory.put(set_name, loupe)
        self._inherited.clear()
        self._unsaved.clear()
