"""Who gets how much of the find screen: the list, and both sides of the card at its cursor. Cells
in, cells out."""

from __future__ import annotations

from typing import NamedTuple

from tagger.ui.desk.layout import ASPECT, LINES

WIDE = 110  # cells of the screen from which the pictures stand beside the list
LIST = 72  # cells that the list needs beside them
SHARE = 48  # percent of the screen that the list has at least
NEARLY = (
    85  # percent of a picture's width for which a list twice as much wider is the better bargain
)


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
    rows, across = (
        max(2, height - LINES),
        width if pictures else width - max(LIST, width * SHARE // 100),
    )
    beside, below = min(across // 2, _fitting(rows)), min(across, _fitting(rows // 2))
    if pictures:
        stacked = below > beside
        return FindLayout(0, width if stacked else width // 2, stacked)
    stacked = below * 100 >= beside * NEARLY
    view = below if stacked else beside
    return FindLayout(width - (view if stacked else view * 2), view, stacked)


def _fitting(rows: int) -> int:
    """The width of a picture that is as high as these rows, its title left out."""
    return round((rows - 1) * 2 * ASPECT) + 1
