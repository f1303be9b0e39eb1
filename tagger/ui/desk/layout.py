"""Who gets how much of the screen: the previews, the loupe, the panel. Cells in, cells out."""

from __future__ import annotations

import math
from typing import NamedTuple

LINES = 5  # status, what was, message, hint, keys
PANEL = 38  # cells that the panel needs beside two previews
TEXT = 17  # rows in which the panel's text is complete
NARROWEST = 24  # cells of a preview below which one at a time is shown
ASPECT = 0.74  # a scan with its margin is about 0.74 as wide as high
LOUPE_BELOW, LOUPE_BESIDE = 8, 7  # rows that the loupe needs, its title with them
LOUPE_WIDTH = 46  # cells of the panel from which a number is read in its loupe
MOST_EMPTY = 3  # rows below the previews
NAME_ROWS = 6  # of the second loupe, its title with them
LEAST_SIDES = 9  # rows of the previews below which there is no second loupe
LEAST_TEXT = 6  # rows of text below which there is no loupe


class DeskLayout(NamedTuple):
    """Where things are. `face` is the side shown or "both"; `preview` is the width of one preview
    in cells; the loupe has `loupe_rows` rows, none where it does not fit, and lies below the
    previews or in the panel; the second loupe lies below it, with `name_rows` rows, none where it
    is off or does not fit."""

    face: str
    preview: int
    loupe_rows: int
    below: bool
    name_rows: int = 0


def one_at_a_time(width: int, height: int) -> bool:
    """Whether a screen of this size is too small for both previews."""
    return _share(width, height) < NARROWEST


def lay_out(width: int, height: int, face: str, names: bool = False) -> DeskLayout:
    """The layout of a screen of this size, with the side that is to be seen, or "both" where they
    fit, and with the second loupe where `names` asks for it and it fits."""
    layout = _without_names(width, height, face)
    left = height - LINES - layout.loupe_rows - NAME_ROWS
    fits = layout.loupe_rows > 0 and left >= (LEAST_SIDES if layout.below else LEAST_TEXT)
    if not (names and fits):
        return layout
    return layout._replace(name_rows=NAME_ROWS)


def _without_names(width: int, height: int, face: str) -> DeskLayout:
    rows = height - LINES
    if face == "both" and one_at_a_time(width, height):
        face = "front"
    both = face == "both"
    preview = _share(width, height)
    if not both:
        preview = max(12, min(width - PANEL, _fitting(rows)))
    filled = min(rows, _filled(preview))
    lack = max(0, LOUPE_BELOW - (rows - filled))
    # a tenth smaller is no loss to the previews; more is, and the panel has rows to spare
    if lack * 10 <= filled:
        return _below(face, preview, rows, rows - filled + lack)
    if rows - LOUPE_BESIDE < LEAST_TEXT:
        return DeskLayout(face, preview, 0, below=False)
    if both:
        narrower = _narrower(preview, width, rows)
        # beside them it would be too narrow to read in, or the rows below them would be empty
        if width - 2 * narrower < LOUPE_WIDTH and _hardly_smaller(preview, rows):
            return _below(face, preview, rows, LOUPE_BELOW)
        preview = narrower
    return DeskLayout(
        face, preview, max(LOUPE_BESIDE, min(rows - TEXT, rows * 2 // 5)), below=False
    )


def _below(face: str, preview: int, rows: int, loupe: int) -> DeskLayout:
    """The loupe below the previews, which are no wider than their rows can fill."""
    if face == "both":
        preview = min(preview, max(NARROWEST, _fitting(rows - loupe) + 1))
    return DeskLayout(face, preview, loupe, below=True)


def _narrower(preview: int, width: int, rows: int) -> int:
    """Previews at most a tenth narrower, for a loupe in the panel that can be read; no row more is
    left empty below them than is hardly seen."""
    least = max(NARROWEST, preview - preview // 10)
    while (
        preview > least
        and width - 2 * preview < LOUPE_WIDTH
        and rows - _filled(preview - 1) <= MOST_EMPTY
    ):
        preview -= 1
    return preview


def _hardly_smaller(preview: int, rows: int) -> bool:
    """Whether the previews above a loupe are at most a tenth lower than beside a readable one."""
    beside = _filled(max(NARROWEST, preview - preview // 10))
    return (beside - (rows - LOUPE_BELOW)) * 10 <= beside


def _filled(preview: int) -> int:
    """Rows that a preview of this width fills, its title with them."""
    return 1 + math.ceil((preview - 1) / ASPECT / 2)


def _fitting(rows: int) -> int:
    """The width of a preview that fills so many rows."""
    return round((rows - 1) * 2 * ASPECT)


def _share(width: int, height: int) -> int:
    return min((width - PANEL) // 2, _fitting(height - LINES))
