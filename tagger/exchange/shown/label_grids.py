"""Sheets of labels: how many stand on a page, and how large each is, in mm.

The sizes are those in which such sheets are commonly sold for paper by ISO 216 and ANSI/ASME Y14.1
(common practice, no source); what is left of a page is its edge, the same on both sides."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

from tagger.core.model.text import printable
from tagger.errors import UsageError
from tagger.exchange.shown.sheet_geometry import PAPERS

CARD = (63.5, 88.9)  # mm: 2.5 x 3.5 in, a trading card (common practice)
_SLACK = 0.05  # mm: sizes are rounded to tenths
_OWN = re.compile(
    r"([1-9][0-9]?)x([1-9][0-9]?):([0-9.]{1,6})x([0-9.]{1,6})(?:\+([0-9.]{1,5}))?", re.ASCII
)


class Grid(NamedTuple):
    """Labels across and down a page, the width and height of each, and the gap between two beside
    each other, in mm."""

    across: int
    down: int
    wide: float
    high: float
    gap: float = 0.0

    @property
    def a_page(self) -> int:
        """Labels on a page."""
        return self.across * self.down

    @property
    def name(self) -> str:
        """`3x8`: how it is called."""
        return f"{self.across}x{self.down}"

    def span(self) -> tuple[float, float]:
        """How wide and how high all of them are."""
        return self.across * (self.wide + self.gap) - self.gap, self.down * self.high

    def corners(self, paper: str) -> Iterator[tuple[float, float]]:
        """The upper left corner of each label on a page of PAPERS, row by row."""
        page, span = PAPERS[paper], self.span()
        left, top = (page[0] - span[0]) / 2, (page[1] - span[1]) / 2
        for at in range(self.a_page):
            row, column = divmod(at, self.across)
            yield left + column * (self.wide + self.gap), top + row * self.high


DIVIDERS = Grid(3, 3, *CARD)
GRIDS = {
    "a4": (
        Grid(2, 4, 99.1, 67.7, 2.5),
        Grid(2, 7, 99.1, 38.1, 2.5),
        Grid(2, 8, 99.1, 33.9, 2.5),
        DIVIDERS,
        Grid(3, 7, 63.5, 38.1, 2.5),
        Grid(3, 8, 70.0, 37.0),
        Grid(4, 10, 48.5, 25.4),
        Grid(5, 13, 38.1, 21.2, 2.5),
    ),
    "letter": (
        Grid(2, 3, 101.6, 84.7, 4.8),
        Grid(2, 5, 101.6, 50.8, 4.8),
        Grid(2, 7, 101.6, 33.9, 4.8),
        Grid(2, 10, 101.6, 25.4, 4.8),
        DIVIDERS,
        Grid(3, 10, 66.7, 25.4, 3.2),
        Grid(4, 20, 44.5, 12.7, 7.6),
    ),
}


def read_grid(text: str, paper: str) -> Grid:
    """A grid by its name (`3x8`), or as `3x8:70x37+2.5`: each label's width and height, and the gap
    between columns. Raises UsageError where there is none, or where it does not fit the page."""
    known = {grid.name: grid for grid in GRIDS[paper]}
    if text in known:
        return known[text]
    match = _OWN.fullmatch(text)
    if match is None:
        raise UsageError(
            f"Unknown grid '{printable(text, 40)}' on {paper}. Choose one of {', '.join(known)}, "
            "or give your own as 3x8:70x37+2.5 (labels across and down: width and height, gap, "
            "in mm)."
        )
    return _measured(text, match, paper)


def _measured(text: str, match: re.Match[str], paper: str) -> Grid:
    try:
        wide, high, gap = (float(part or 0) for part in match.groups()[2:])
    except ValueError:
        raise UsageError(f"Grid {text}: type sizes in mm like 63.5.") from None
    grid = Grid(int(match[1]), int(match[2]), wide, high, gap)
    if min(wide, high) < 10:
        raise UsageError(f"Grid {text}: a label needs at least 10 mm each way.")
    page = PAPERS[paper]
    if any(span > there + _SLACK for span, there in zip(grid.span(), page, strict=True)):
        raise UsageError(
            f"Grid {text} is {grid.span()[0]:g} x {grid.span()[1]:g} mm, larger than a page of "
            f"{paper} ({page[0]:g} x {page[1]:g} mm)."
        )
    return grid
