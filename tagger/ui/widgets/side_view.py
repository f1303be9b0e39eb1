"""One side of a card: its name, and the scan in terminal cells."""

from __future__ import annotations

from PIL import Image
from rich.segment import Segment
from rich.style import Style
from rich.text import Text
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from tagger.errors import PictureError
from tagger.preview.cells import CellRow
from tagger.preview.colours import Depth
from tagger.preview.half_blocks import HalfBlocks
from tagger.ui import look
from tagger.ui.widgets.cell_strip import CellStrip


class SideView(Widget):
    """A title line, and below it the picture or the reason why there is none."""

    def __init__(self, id: str, depth: Depth) -> None:
        super().__init__(id=id)
        self._depth = depth
        self._title = Text()
        self._notice = ""
        self._rows: list[CellRow] = []
        self._blank = ""
        self._shown: tuple[str, str, Image.Image | PictureError | None] | None = None
        self._strips: dict[tuple[int, int], Strip] = {}

    def box(self) -> tuple[int, int]:
        """The room for a picture, width and height in pixels (two a cell)."""
        return max(1, self.size.width - 1), max(2, (self.size.height - 1) * 2)

    def show(self, side: str, name: str, picture: Image.Image | PictureError | None) -> None:
        """Show a side. `name` is printable; with no picture yet the old one stays as long as the name does."""
        if (
            self._shown is not None
            and self._shown[:2] == (side, name)
            and (picture is None or picture is self._shown[2])
        ):
            return  # nothing of it has changed, so nothing goes to the terminal
        title = Text(f" {side} ", look.BRASS if not isinstance(picture, PictureError) else look.RUST)
        title.append(name, look.DIM)
        if isinstance(picture, PictureError):
            self._rows, notice = [], picture.message
        else:
            self._rows, notice = HalfBlocks().draw(picture, self._depth) if picture is not None else [], ""
        self._title, self._notice = title, notice
        self._shown = (side, name, picture)
        self._strips.clear()
        self.refresh()

    def render_lines(self, crop: Region) -> list[Strip]:
        """The rows of the widget that lie in `crop`."""
        width = self.size.width
        for y in range(crop.y, crop.bottom):
            if (y, width) not in self._strips:  # asked for with every change beside the view, so drawn once
                self._strips[y, width] = self._line(y)
        strips = [self._strips[y, width] for y in range(crop.y, crop.bottom)]
        if (crop.x, crop.width) != (0, self.size.width):
            return [strip.crop(crop.x, crop.right) for strip in strips]
        return strips

    def _line(self, y: int) -> Strip:
        width = self.size.width
        if y == 0:
            return self._text(self._title, width)
        if self._notice:
            lines = Text(self._notice, look.RUST).wrap(self.app.console, max(8, width - 2))
            return (
                self._text(Text(" ").append_text(lines[y - 2]), width)
                if 2 <= y < len(lines) + 2
                else self._text(Text(), width)
            )
        row = self._rows[y - 1] if y <= len(self._rows) else None
        if row is None or row.width > width:
            return self._text(Text(), width)
        left = (width - row.width) // 2
        return CellStrip(row, left, width - row.width - left, look.PLAIN, self._ground())

    def _text(self, text: Text, width: int) -> Strip:
        segments = Segment.apply_style(text.render(self.app.console, end=""), look.PLAIN)
        strip = Strip(segments).adjust_cell_length(width, look.PLAIN)
        for line_filter in self.app._filters:
            strip = strip.apply_filter(line_filter, self.background_colors[1])
        return strip

    def _ground(self) -> str:
        """The escape sequence for the desk's own background."""
        if not self._blank:
            system = self.app.console._color_system
            plain = Strip([Segment("|", Style(bgcolor=look.PLAIN.bgcolor))])
            for line_filter in self.app._filters:
                plain = plain.apply_filter(line_filter, self.background_colors[1])
            self._blank = plain.render(self.app.console).partition("|")[0] if system is not None else ""
        return self._blank
