"""A row of the screen that is ready text for the terminal.

A preview's row costs a third of the bytes this way, and no time in the renderer. It leans on how
Textual 8 renders a `Strip` (the text is kept in `_render_cache`); wherever a strip is cut, joined
or styled, ordinary segments stand in."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from rich.color import Color
from rich.segment import Segment
from rich.style import Style
from textual.strip import Strip

from tagger.preview.cells import CellRow


class CellStrip(Strip):
    """A row of cells with plain cells left and right of it."""

    __slots__ = ("_left", "_right", "_row", "_style")

    def __init__(
        self, row: CellRow, text: str, left: int, right: int, style: Style, blank: str
    ) -> None:
        """`text` is the row's own; `blank` is the escape sequence that sets the style of the cells
        beside the row."""
        super().__init__((), left + row.width + right)
        self._row, self._left, self._right, self._style = row, left, right, style
        self._render_cache = f"{blank}{' ' * left}{text}{blank}{' ' * right}\x1b[0m"

    def plain(self) -> Strip:
        """The same row as ordinary segments."""
        segments = [Segment(" " * self._left, self._style)]
        for char, ink, ground in self._row.cells():
            segments.append(
                Segment(char, Style(color=Color.from_rgb(*ink), bgcolor=Color.from_rgb(*ground)))
            )
        segments.append(Segment(" " * self._right, self._style))
        return Strip(segments, self.cell_length)

    def __iter__(self) -> Iterator[Segment]:
        return iter(self.plain())

    def divide(self, cuts: Iterable[int]) -> list[Strip]:
        """Cut at these cells; whole where the one cut is the end."""
        places = list(cuts)
        return [self] if places == [self.cell_length] else list(self.plain().divide(places))

    def crop(self, start: int, end: int | None = None) -> Strip:
        """The cells from `start` to `end`; whole where they are all."""
        if start == 0 and (end is None or end >= self.cell_length):
            return self
        return self.plain().crop(start, end)
