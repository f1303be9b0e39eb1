"""Front and back of the card at the cursor of the find screen, drawn in the background and ahead of
the cursor."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from textual.app import ComposeResult
from textual.containers import Container

from tagger.core.model.text import printable
from tagger.preview.pictures import Pictures, Source, WholePicture, drawn
from tagger.preview.render_settings import RenderSettings
from tagger.ui.desk.previews import NO_SCAN, naming
from tagger.ui.find.layout import FindLayout
from tagger.ui.find.ports import Copy
from tagger.ui.widgets.side_view import SideView

SIDES = ("front", "back")


class HitViews:
    """`ready` is called from a background thread when a picture has come. A scan's name says which
    lot it is of."""

    def __init__(
        self, source: Source, manner: RenderSettings, ready: Callable[[str], None]
    ) -> None:
        drawing = manner.drawing
        grid = (drawing.across, drawing.down)
        self._pictures = Pictures(
            lambda name, seen: drawn(source.load(name, seen, grid), drawing, manner.depth),
            ready,
            source.stamp,
        )
        self._views = {side: SideView(side, manner) for side in SIDES}
        self._place: Container | None = None

    def compose(self) -> ComposeResult:
        """Both sides."""
        with Container(id="pictures") as self._place:
            yield from self._views.values()

    def arrange(self, room: FindLayout) -> None:
        """Give each view its room."""
        if self._place is None:
            return
        self._place.display = room.view > 0
        self._place.styles.width = room.view if room.stacked else room.view * 2
        self._place.styles.layout = "vertical" if room.stacked else "horizontal"
        for view in self._views.values():
            view.styles.width = room.view
            view.styles.height = "50%" if room.stacked else "100%"

    def show(self, copies: Sequence[Copy]) -> None:
        """Show the first of these as far as its pictures are there; wish for them and those of the
        others."""
        wishes = []
        for at, copy in enumerate(copies):
            for (side, view), scan in zip(
                self._views.items(), (copy.card.front, copy.card.back), strict=True
            ):
                name, seen = naming(copy.card.lot, scan), WholePicture(view.box())
                if not at:
                    picture = self._pictures.get(name, seen) if scan else None
                    view.show(side, printable(scan) if scan else NO_SCAN, picture)
                if scan:
                    wishes.append((name, seen))
        for view in () if copies else self._views.values():
            view.show("", "", None)
        self._pictures.want(wishes)

    def finer(self, rows: int) -> bool:
        """Show so many more rows of each view in the finest colours; returns whether there are
        still others."""
        return sum([view.finer(rows) for view in self._views.values()]) > 0

    def close(self) -> None:
        """Stop drawing."""
        self._pictures.close()
