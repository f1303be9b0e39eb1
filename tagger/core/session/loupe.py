"""The loupe: which part of a scan is shown large, and where it was left for each set."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Protocol

# pixels in which the whole window is shown; a narrower pane shows less of the scan, at the same
# scale
ENOUGH = 80
SMALLEST, LARGEST = 0.06, 1.0  # width of the window, as a fraction of the scan's


@dataclass(frozen=True, slots=True)
class Pane:
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

    def put(self, set_name: str, loupe: Loupe) -> None:
        """Remember the loupe of a set."""


class LoupeInUse:
    """The loupe as it is held over the cards of one set after the other."""

    def __init__(self, memory: LoupeMemory, first: Loupe = Loupe()) -> None:
        self._memory = memory
        self._set: str | None = None
        self._loupe = self._first = first
        self._unsaved: dict[str, Loupe] = {}

    def at(self, set_name: str) -> Loupe:
        """The loupe for a card of this set: where it was left there, or for a set not seen yet
        where it is now."""
        if set_name != self._set:
            self._set = set_name
            known = self._unsaved.get(set_name) or self._memory.get(set_name)
            if known is not None:
                self._loupe = known
            elif self._loupe != self._first:
                # the next sitting at this set finds it where this one did
                self._unsaved[set_name] = self._loupe
        return self._loupe

    def put(self, set_name: str, loupe: Loupe) -> None:
        """Hold the loupe there over the cards of this set from now on."""
        if loupe != self.at(set_name):
            self._loupe = self._unsaved[set_name] = loupe

    def save(self) -> None:
        """Have the memory keep what is new."""
        for set_name, loupe in self._unsaved.items():
            self._memory.put(set_name, loupe)
        self._unsaved.clear()
