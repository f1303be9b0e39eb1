"""Lines of text, drawn one by one: only a line that changed goes to the terminal."""

from __future__ import annotations

from collections.abc import Sequence

from rich.segment import Segment
from rich.style import Style
from rich.text import Text
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget


class LineBox(Widget):
    """Shows lines as they are given: cut to the width, no markup, no wrapping."""

    def __init__(self, style: Style, id: str) -> None:
        super().__init__(id=id)
        self._style = style
        self._lines: list[Text] = []

    def show(self, lines: Sequence[Text]) -> None:
        """Show these lines from now on."""
        old, new = self._lines, list(lines)
        self._lines = new
        if not self.is_attached:
            return
        for y in range(max(len(old), len(new))):
            before = old[y] if y < len(old) else None
            after = new[y] if y < len(new) else None
            if before != after or (
                before is not None and after is not None and before.spans != after.spans
            ):
                self.refresh(Region(0, y, self.size.width, 1))

    def render_line(self, y: int) -> Strip:
        """One line of the widget, `y` from 0."""
        width = self.size.width
        if y >= len(self._lines):
            return Strip([Segment(" " * width, self._style)], width)
        line = self._lines[y]
        # Text without spans is rendered without its own style.
        style = self._style + line.style if isinstance(line.style, Style) else self._style
        segments = Segment.apply_style(line.render(self.app.console, end=""), style)
        return Strip(segments).adjust_cell_length(width, self._style).simplify()
