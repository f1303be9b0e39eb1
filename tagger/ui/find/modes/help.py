"""The help of the find screen: arrows scroll it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import events

from tagger.ui.find import lines
from tagger.ui.find.keys import FindAction
from tagger.ui.modes import Mode

if TYPE_CHECKING:
    from tagger.ui.find.parts import FindParts


class FindHelpMode(Mode[FindAction]):
    """The help before the list."""

    css = "-manual"

    def __init__(self, parts: FindParts) -> None:
        self._parts = parts
        self._top = 0

    def on_key(self, event: events.Key, action: FindAction | None) -> bool:
        """Scroll the help, or close it; a key that is for neither closes it and does its own
        work."""
        page = self._parts.rows
        steps = {"down": 1, "up": -1, "pagedown": page, "pageup": -page}
        if event.key in steps:
            self._top = max(0, self._top + steps[event.key])
            return True
        self._parts.modes.close(self)
        return action in (FindAction.HELP, FindAction.TAKE)

    def draw(self) -> None:
        """The frame, and as much of the help as there is room for."""
        parts, width = self._parts, self._parts.size.width
        parts.draw_frame(lines.help_keys(parts.keys, width))
        shown = lines.help_of(parts.keys, width)
        # Held here: how long the help is depends on the width, which may change meanwhile.
        self._top = min(self._top, max(0, len(shown) - parts.rows))
        parts.boxes.manual.show(shown[self._top :])
