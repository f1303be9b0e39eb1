"""A row of the screen that is ready text for the terminal.

A preview's row costs a third of the bytes this way, and no time in the renderer. Wherever a strip
is cut, joined or styled, ordinary segments stand in; and everywhere, where Textual's strips hold no
text."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from rich.color import Color
from rich.segment import Segment
from rich.style import Style
from textual.strip import Strip

from tagger.ui import theme
from tagger.ui.terminal.textual_private import STRIPS_HOLD_TEXT, hold_text

if TYPE_CHECKING:
    from textual.widget import Widget

    from tagger.preview.cells import CellRow


class CellStrip(Strip):
    """A row of cells with plain cells left and right of it."""

    __slots__ = ("_left", "_right", "_row", "_style")

    def __init__(
        self, row: CellRow, text: str, left: int, right: int, style: Style, blank: str
    ) -> None:
        """`text` is the row's own; `blank` is the escape sequence that sets the style of the cells
        beside the row."""
        self._row, self._left, self._right, self._style = row, left, right, style
        cells = left + row.width + right
        if STRIPS_HOLD_TEXT:
            super().__init__((), cells)
            hold_text(self, f"{blank}{' ' * left}{text}{blank}{' ' * right}\x1b[0m")
        else:
            super().__init__(self._segmented(), cells)

    def plain(self) -> Strip:
        """The same row as ordinary segments."""
        return Strip(self._segmented(), self.cell_length)

    def _segmented(self) -> list[Segment]:
        segments = [Segment(" " * self._left, self._style)]
        for char, ink, ground in self._row.cells():
            segments.append(
                Segment(char, Style(color=Color.from_rgb(*ink), bgcolor=Color.from_rgb(*ground)))
            )
        segments.append(Segment(" " * self._right, self._style))
        return segments

    def __iter__(self) -> Iterator[Segment]:
        return iter(self.plain())

    def divide(self, cuts: Iterable[int]) -> list[Strip]:
        """Cut at these cells; whole where the one cut is the end."""
        # The compositor cuts each row at the edge of its view, which is its end.
        places = list(cuts)
        return [self] if places == [self.cell_length] else list(self.plain().divide(places))

    def crop(self, start: int, end: int | None = None) -> Strip:
        """The cells from `start` to `end`; whole where they are all."""
        if start == 0 and (end is None or end >= self.cell_length):
            return self
        return self.plain().crop(start, end)


def ground_of(widget: Widget) -> str:
    """The escape sequence for the desk's own background, empty where the terminal has no colours
    or none are known yet."""
    if widget.app.console.color_system is None:
        return ""
    plain = Strip([Segment("|", Style(bgcolor=theme.PLAIN.bgcolor))])
    for line_filter in widget.app.get_line_filters():
        plain = plain.apply_filter(line_filter, widget.background_colors[1])
    return plain.render(widget.app.console).partition("|")[0]
