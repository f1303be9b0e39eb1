"""Front and back of the card at the cursor of the find screen, drawn in the background and ahead of
the cursor."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import Container

from tagger.core.model.text import printable
from tagger.preview.pictures import Source, WholePicture
from tagger.ui.desk.pictures.previews import NO_SCAN, pictures_of
from tagger.ui.widgets.side_view import SideView

if TYPE_CHECKING:
    from tagger.core.model.scan_ref import ScanRef
    from tagger.preview.render_settings import RenderSettings
    from tagger.ui.find.layout import FindLayout
    from tagger.ui.find.ports import Copy

SIDES = ("front", "back")


class HitViews:
    """`ready` is called from a background thread when a picture has come."""

    def __init__(
        self, source: Source, manner: RenderSettings, ready: Callable[[ScanRef], None]
    ) -> None:
        self._pictures = pictures_of(source, manner, ready)
        self._views = {side: SideView(side, manner) for side in SIDES}
        self._place: Container | None = None
        self.instead = False
        """Whether the pictures are shown instead of the list."""

    def compose(self) -> ComposeResult:
        """Both sides."""
        with Container(id="pictures") as self._place:
            yield from self._views.values()

    def arrange(self, room: FindLayout) -> None:
        """Give each view its room."""
        # A resize may come before the widgets are composed.
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
        shown = copies[0].scans if copies else (None, None)
        for (side, view), ref in zip(self._views.items(), shown, strict=True):
            self._show(view, side, ref, bool(copies))
        # The next copies as well: the cursor comes to one of them.
        self._pictures.want(
            [
                (ref, WholePicture(view.box()))
                for copy in copies
                for view, ref in zip(self._views.values(), copy.scans, strict=True)
                if ref is not None
            ]
        )

    def _show(self, view: SideView, side: str, ref: ScanRef | None, found: bool) -> None:
        if not found:
            view.show("", "", None)
        elif ref is None:
            view.show(side, NO_SCAN, None)
        else:
            picture = self._pictures.get(ref, WholePicture(view.box()))
            view.show(side, printable(ref.scan), picture)

    def finer(self, rows: int) -> bool:
        """Show so many more rows of each view in the finest colours; returns whether there are
        still others."""
        # Not by `any`, which would ask no view behind the first that has others.
        return sum([view.finer(rows) for view in self._views.values()]) > 0

    def close(self) -> None:
        """Stop drawing."""
        self._pictures.close()
