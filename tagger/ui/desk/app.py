"""One lot in a terminal."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.ui.terminal.app import TerminalApp

if TYPE_CHECKING:
    from tagger.preview.render_settings import RenderSettings
    from tagger.preview.terminal_capabilities import Depth
    from tagger.ui.desk.screen import DeskScreen


class DeskApp(TerminalApp, inherit_bindings=False):
    """The desk from the beginning to the end."""

    def __init__(
        self,
        desk: Callable[[RenderSettings], DeskScreen],
        drawing: str,
        colours: Depth | None = None,
        report: Path | None = None,
    ) -> None:
        """`desk` makes the screen, once it is known how previews are drawn."""
        super().__init__(drawing, colours, report)
        # Made late: Textual knows the terminal's colours only once the app is there.
        self._desk = desk

    def get_default_screen(self) -> DeskScreen:
        """The desk is all there is."""
        return self._desk(self.manner)
