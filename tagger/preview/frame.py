"""A frame on a picture of cells, around what is shown elsewhere enlarged."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING

from tagger.preview.colours import palette

if TYPE_CHECKING:
    from tagger.preview.cells import CellRow
    from tagger.preview.terminal_capabilities import Depth

# Light on dark in every depth, so that it stands out from any picture also without colours.
_INK, _GROUND = (255, 230, 60), (0, 0, 0)

Cells = tuple[int, int, int, int]
"""Left, top, right and lower cell of a frame, each one a cell of its line."""


def cells_of(frame: tuple[float, float, float, float], width: int, height: int) -> Cells:
    """The cells around a part of a picture of so many cells, given as left, top, right and lower
    in fractions of it; on the picture's edge where the part ends there."""
    # One cell outside, so that the line lies on nothing that the loupe shows.
    left, top = math.floor(frame[0] * width) - 1, math.floor(frame[1] * height) - 1
    right, lower = math.ceil(frame[2] * width), math.ceil(frame[3] * height)
    return max(0, left), max(0, top), min(width - 1, right), min(height - 1, lower)


def framed(row: CellRow, y: int, frames: Sequence[Cells]) -> CellRow:
    """A row of a picture, the row `y` from 0, with the lines of the frames on it."""
    marks = {x: mark for cells in frames for x, mark in _marks(y, cells).items()}
    # Most rows have no line: they are handed on as they are, without a copy.
    if not marks:
        return row
    ink, ground = _colours(row.depth)
    at = range(row.width)
    return replace(
        row,
        glyphs="".join(marks.get(x, glyph) for x, glyph in enumerate(row.glyphs)),
        ink=[ink if x in marks else row.ink[x] for x in at],
        ground=[ground if x in marks else row.ground[x] for x in at],
    )


def _marks(y: int, cells: Cells) -> dict[int, str]:
    """What a frame has on a row, by the cell."""
    left, top, right, lower = cells
    if y in (top, lower):
        ends = "┌┐" if y == top else "└┘"
        line = dict.fromkeys(range(left + 1, right), "─")
        return {**line, left: ends[0], right: ends[1]}
    return {left: "│", right: "│"} if top < y < lower else {}


@cache
def _colours(depth: Depth) -> tuple[int, int]:
    colours = palette(depth)
    return colours.nearest(_INK), colours.nearest(_GROUND)
