"""Who gets how much of the find screen: the list, and both sides of the card at its cursor. Cells
in, cells out."""

from __future__ import annotations

from typing import NamedTuple

from tagger.ui.desk.layout import ASPECT, LINES

WIDE = 110  # cells of the screen from which the pictures stand beside the list
LIST = 72  # cells that the list needs beside them
SHARE = 48  # percent of the screen that the list has at least
# percent of a picture's width for which a list twice as much wider is the better bargain
NEARLY = 85


class FindLayout(NamedTuple):
    """Widths in cells, 0 where a part is not shown; `view` is the width of one picture. `stacked`:
    the back is below the front, not beside it."""

    list: int
    view: int
    stacked: bool


def room(width: int, height: int, pictures: bool) -> FindLayout:
    """The room on a screen of this size; `pictures`: they are shown instead of the list."""
    if width < WIDE and not pictures:
        return FindLayout(width, 0, False)
    rows = max(2, height - LINES)
    if pictures:
        beside, below = _widths(width, rows)
        if below > beside:
            return FindLayout(0, width, True)
        return FindLayout(0, width // 2, False)
    beside, below = _widths(width - max(LIST, width * SHARE // 100), rows)
    # One below the other leaves twice as much room to the list, which is worth a slightly smaller
    # picture.
    if below * 100 >= beside * NEARLY:
        return FindLayout(width - below, below, True)
    return FindLayout(width - beside * 2, beside, False)


def _widths(across: int, rows: int) -> tuple[int, int]:
    """The width of one picture, both beside each other and one below the other."""
    return min(across // 2, _fitting(rows)), min(across, _fitting(rows // 2))


def _fitting(rows: int) -> int:
    """The width of a picture that is as high as these rows, its title left out."""
    return round((rows - 1) * 2 * ASPECT) + 1
