"""A column of small pictures, one below the other, in rows of cells."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import zip_longest
from typing import TYPE_CHECKING

from rich.segment import Segment
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from tagger.ui import theme
from tagger.ui.widgets.cell_strip import CellStrip, ground_of

if TYPE_CHECKING:
    from tagger.preview.cells import CellRow

Row = tuple["CellRow", str] | None
"""A row of a picture and its text for the terminal; None for an empty one."""


class CellColumn(Widget):
    """Shows rows as they are given; only a row that changed goes to the terminal."""

    def __init__(self, id: str) -> None:
        super().__init__(id=id)
        self._rows: Sequence[Row] = ()
        self._blank = ""

    def show(self, rows: Sequence[Row]) -> None:
        """Show these rows from now on."""
        old, self._rows = self._rows, rows
        if not self.is_attached:
            return
        for y, (before, after) in enumerate(zip_longest(old, rows)):
            if before is not after and before != after:
                self.refresh(Region(0, y, self.size.width, 1))

    def render_lines(self, crop: Region) -> list[Strip]:
        """The rows of the widget that lie in `crop`."""
        # Not by the usual way of line by line: what it styles is no ready text any more.
        strips = [self._line(y) for y in range(crop.y, crop.bottom)]
        if (crop.x, crop.width) != (0, self.size.width):
            return [strip.crop(crop.x, crop.right) for strip in strips]
        return strips

    def _line(self, y: int) -> Strip:
        width = self.size.width
        row = self._rows[y] if y < len(self._rows) else None
        # Until the pictures for a narrower column have come, the old ones do not fit.
        if row is None or row[0].width > width:
            return Strip([Segment(" " * width, theme.PLAIN)], width)
        if not self._blank:
            self._blank = ground_of(self)
        cells, text = row
        return CellStrip(cells, text, 0, width - cells.width, theme.PLAIN, self._blank)
