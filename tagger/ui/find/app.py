"""The find screen in a terminal."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from tagger.ui.find.screen import FindScreen
from tagger.ui.terminal.app import TerminalApp

if TYPE_CHECKING:
    from tagger.preview.pictures import Source
    from tagger.preview.terminal_capabilities import Depth
    from tagger.ui.find.ports import Finder
    from tagger.ui.keys import Keymap


class FindApp(TerminalApp, inherit_bindings=False):
    """Finds cards; the desk of a lot that is opened stands before the find screen until it is
    left."""

    def __init__(
        self,
        finder: Finder,
        source: Source,
        keys: Keymap,
        words: str,
        drawing: str,
        colours: Depth | None = None,
        report: Path | None = None,
    ) -> None:
        """`words` stand in the hint line from the beginning."""
        super().__init__(drawing, colours, report)
        # Held until it is known how previews are drawn, which is when the terminal is asked.
        self._parts = (finder, source, keys)
        self._words = words

    def get_default_screen(self) -> FindScreen:
        """The find screen is there from the beginning to the end."""
        return FindScreen(*self._parts, self.manner, self._words)
