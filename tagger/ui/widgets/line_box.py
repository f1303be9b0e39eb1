"""Lines of text, drawn one by one: only a line that changed goes to the terminal."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import zip_longest

from rich.segment import Segment
from rich.style import Style
from rich.text import Text
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget


def _same(before: Text | None, after: Text | None) -> bool:
    if before is None or after is None:
        return before is after
    # To Rich, texts are equal that say the same in another colour.
    return before == after and before.style == after.style


class LineBox(Widget):
    """Shows lines as they are given: cut to the width, no markup, no wrapping."""

    def __init__(self, style: Style, id: str) -> None:
        super().__init__(id=id)
        self._style = style
        self._lines: list[Text] = []
        self._rows = 1  # as a line of the frame has; what fills the screen never grows

    def show(self, lines: Sequence[Text]) -> None:
        """Show these lines from now on."""
        old, new = self._lines, list(lines)
        self._lines = new
        if not self.is_attached:
            return
        for y, (before, after) in enumerate(zip_longest(old, new)):
            if not _same(before, after):
                self.refresh(Region(0, y, self.size.width, 1))

    def grow(self, rows: int) -> None:
        """Be so many rows high from now on, at least one."""
        # Only where it is another height: all of the screen is laid out again.
        if (rows := max(1, rows)) != self._rows:
            self.styles.height = self._rows = rows

    def render_line(self, y: int) -> Strip:
        """One line of the widget, `y` from 0."""
        width = self.size.width
        if y >= len(self._lines):
            return Strip([Segment(" " * width, self._style)], width)
        line = self._lines[y]
        # Text without spans is rendered without its own style.
        style = self._style + line.style if isinstance(line.style, Style) else self._style
        segments = list(Segment.apply_style(line.render(self.app.console, end=""), style))
        if (left := width - sum(segment.cell_length for segment in segments)) > 0:
            segments.append(Segment(" " * left, self._style))
        strip = Strip(_fewer(segments)).simplify()
        return strip if left >= 0 else strip.adjust_cell_length(width, self._style)


def _fewer(segments: list[Segment]) -> list[Segment]:
    """The same cells in fewer colours: a blank looks as its neighbour does where both have the same
    ground, and each change of colour is some twenty-five bytes for the terminal."""
    found: list[Segment] = []
    for segment in segments:
        if found and _alike(found[-1], segment):
            before = found[-1]
            if segment.text.isspace() or before.text.isspace():
                style = before.style if segment.text.isspace() else segment.style
                found[-1] = Segment(before.text + segment.text, style)
                continue
        found.append(segment)
    return found


def _alike(one: Segment, other: Segment) -> bool:
    if one.style is None or other.style is None:
        return one.style is other.style
    return one.style.bgcolor == other.style.bgcolor
