"""One side of a card: its name, and the scan in terminal cells."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rich.segment import Segment
from rich.text import Text
from textual.geometry import Region
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from tagger.errors import PictureError
from tagger.preview.frame import Cells, cells_of, framed
from tagger.preview.pictures import Drawn
from tagger.ui import theme
from tagger.ui.widgets.cell_strip import CellStrip, ground_of

if TYPE_CHECKING:
    from tagger.preview.cells import CellRow
    from tagger.preview.render_settings import RenderSettings


class SideView(Widget):
    """A title line, and below it the picture or the reason why there is none."""

    class Resized(Message):
        """A view has other room, so another picture fits."""

    def __init__(self, id: str, manner: RenderSettings) -> None:
        super().__init__(id=id)
        self._manner = manner
        self._title = Text()
        self._notice = ""
        self._rows: Sequence[CellRow] = ()
        self._texts: Sequence[str] = ()
        # the rows in the finest colours, once they are drawn
        self._fine: list[CellRow] | None = None
        self._fine_rows = 0  # how many of them are shown
        self._blank = ""
        self._bare_row: Strip | None = None
        self._frames: list[tuple[float, float, float, float]] = []
        self._shown: tuple[str, str, Drawn | str | None] | None = None
        self._strips: dict[tuple[int, int], Strip] = {}

    def on_resize(self) -> None:
        """Say so."""
        self.post_message(self.Resized())

    def box(self) -> tuple[int, int]:
        """The room for a picture, width and height in square pixels (one a cell across, two
        down)."""
        return max(1, self.size.width - 1), max(2, (self.size.height - 1) * 2)

    def show(self, side: str, name: str, picture: Drawn | PictureError | None) -> None:
        """Show a side. `name` is printable; with no picture yet the old one stays as long as the
        name does."""
        seen = picture.message if isinstance(picture, PictureError) else picture
        if self._shows(side, name, seen):
            return  # nothing of it has changed, so nothing goes to the terminal
        failed = isinstance(seen, str)
        self._title = Text(f" {side} ", theme.RUST if failed else theme.BRASS)
        self._title.append(name, theme.DIM)
        self._notice, self._rows, self._texts = "", (), ()
        match seen:
            case str():
                self._notice = seen
            case Drawn():
                self._rows, self._texts = seen.rows, seen.text
        self._fine, self._fine_rows = None, 0
        self._shown = (side, name, seen)
        self._strips.clear()
        self.refresh()

    def _shows(self, side: str, name: str, seen: Drawn | str | None) -> bool:
        """Whether this is shown already. What is still to come leaves the old picture of the same
        side, which is better than none."""
        if self._shown is None or self._shown[:2] != (side, name):
            return False
        return seen is None or seen == self._shown[2]

    def frame(self, frames: list[tuple[float, float, float, float]]) -> None:
        """Frame these parts of the picture: left, top, right and lower as fractions of it."""
        if frames == self._frames:
            return
        before = self._framed()
        self._frames = frames
        # Only the rows of both go to the terminal again; the title is row 0.
        for y in sorted(before | self._framed()):
            self._strips.pop((y + 1, self.size.width), None)
            self.refresh(Region(0, y + 1, self.size.width, 1))

    def _cells(self) -> list[Cells]:
        """The frames in cells of the picture, if there is one."""
        if not self._rows:
            return []
        width, height = self._rows[0].width, len(self._rows)
        return [cells_of(frame, width, height) for frame in self._frames]

    def _framed(self) -> set[int]:
        """The rows of the picture that a frame is on."""
        return {y for cells in self._cells() for y in range(cells[1], cells[3] + 1)}

    def finer(self, rows: int) -> bool:
        """Show so many more rows in the finest colours; returns whether there are still others."""
        drawn = None if self._shown is None else self._shown[2]
        if not isinstance(drawn, Drawn) or not self.display:
            return False
        if self._manner.depth is self._manner.finest:
            return False
        if self._fine is None:
            self._fine = self._manner.drawing.draw(drawn.picture, self._manner.finest)
        first, self._fine_rows = self._fine_rows, min(len(self._fine), self._fine_rows + rows)
        self._draw_again(first, self._fine_rows)
        return self._fine_rows < len(self._fine)

    def _draw_again(self, first: int, past: int) -> None:
        """Have rows of the picture drawn once more, from `first` to before `past`."""
        # The title is row 0.
        for y in range(first + 1, past + 1):
            self._strips.pop((y, self.size.width), None)
        if past > first:
            self.refresh(Region(0, first + 1, self.size.width, past - first))

    def render_lines(self, crop: Region) -> list[Strip]:
        """The rows of the widget that lie in `crop`."""
        width = self.size.width
        for y in range(crop.y, crop.bottom):
            # asked for with every change beside the view, so drawn once
            if (y, width) not in self._strips:
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
            return self._text(self._notice_line(y), width)
        # Until the picture for a narrower view has come, the old one does not fit.
        if y > len(self._rows) or self._rows[y - 1].width > width:
            return self._bare(width)
        row, text = self._drawn(y - 1)
        left = (width - row.width) // 2
        return CellStrip(row, text, left, width - row.width - left, theme.PLAIN, self._ground())

    def _bare(self, width: int) -> Strip:
        """A row with nothing on it: all of a view's are one until its picture comes."""
        if self._bare_row is None or self._bare_row.cell_length != width:
            self._bare_row = self._text(Text(), width)
        return self._bare_row

    def _drawn(self, y: int) -> tuple[CellRow, str]:
        """A row of the picture, from 0, as fine as it is by now and with the frames on it."""
        row, text = self._rows[y], self._texts[y]
        if self._fine is not None and y < self._fine_rows:
            row, text = self._fine[y], self._fine[y].ansi()
        lined = framed(row, y, self._cells()) if self._frames else row
        if lined is not row:
            return lined, lined.ansi()
        return row, text

    def _notice_line(self, y: int) -> Text:
        """A line of why there is no picture, one below the title left free."""
        lines = Text(self._notice, theme.RUST).wrap(self.app.console, max(8, self.size.width - 2))
        if not 2 <= y < len(lines) + 2:
            return Text()
        return Text(" ").append_text(lines[y - 2])

    def _text(self, text: Text, width: int) -> Strip:
        segments = Segment.apply_style(text.render(self.app.console, end=""), theme.PLAIN)
        strip = Strip(segments).adjust_cell_length(width, theme.PLAIN)
        for line_filter in self.app.get_line_filters():
            strip = strip.apply_filter(line_filter, self.background_colors[1])
        return strip

    def _ground(self) -> str:
        """The escape sequence for the desk's own background."""
        # Worked out once: asked for by each row, and the terminal's colours never change.
        if not self._blank:
            self._blank = ground_of(self)
        return self._blank
