"""The help: what is typed narrows the list, arrows scroll it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rich.text import Text
from textual import events

from tagger.ui import theme
from tagger.ui.bottom_lines import hint, keys_among
from tagger.ui.desk.layout import LINES
from tagger.ui.desk.status_lines import useful
from tagger.ui.help import KEYS, SEARCH, help_lines
from tagger.ui.hint_line import HintLine
from tagger.ui.keys import Action
from tagger.ui.modes import Mode

if TYPE_CHECKING:
    from tagger.ui.desk.parts import DeskParts


class HelpMode(Mode[Action]):
    """The help before whatever is open. The hint stays as it is meanwhile."""

    css = "-manual"
    pictured = False

    def __init__(self, parts: DeskParts) -> None:
        self._parts = parts
        self._topic = parts.modes.front.topic
        self._keys_here = parts.modes.front.keys_here
        self._search = HintLine()
        self._top = 0

    def on_key(self, event: events.Key, action: Action | None) -> bool:
        """Narrow, widen, scroll or close the help; the key of another command closes it and does
        its own work."""
        page = self._page
        steps = {"pagedown": page, "down": 1, "pageup": -page, "up": -1}
        if event.key in steps:
            self._top = max(0, self._top + steps[event.key])
        elif event.character is not None and event.is_printable:
            self.on_text(event.character)
        elif (edited := self._search.edited(event.key)) is not None:
            self._find(edited)
        else:
            self._parts.modes.close(self)
            # Enter closes only: behind the help nobody sees what it would take.
            return action in (Action.HELP, Action.TAKE)
        return True

    def on_text(self, text: str) -> bool:
        """Search for what is typed."""
        self._find(self._search.typed(text))
        return True

    def _find(self, search: HintLine) -> None:
        self._search, self._top = search, 0

    @property
    def _page(self) -> int:
        return max(1, self._parts.size.height - LINES - 2)

    def _of_use(self) -> Sequence[Action]:
        """The keys of use for the card in front; before a list, its own keys are told instead."""
        parts = self._parts
        if self._keys_here:
            return ()
        # said of the hint that waits below, not of what is searched for
        now = useful(parts.session, parts.proposal(), parts.hint.text)
        return [action for action in now if parts.keys.of(action)]

    def draw(self) -> None:
        """The frame with what is searched for, and as much of the list as there is room for."""
        parts, width = self._parts, self._parts.size.width
        parts.draw_frame(hint(self._search, width, SEARCH), keys_among(KEYS, parts.keys, width))
        words = parts.session.reasons.by_word
        found = help_lines(
            parts.keys,
            width,
            self._of_use(),
            self._search.text,
            words,
            self._topic,
            self._keys_here,
        )
        # Held here and not where it is scrolled: only now is it known how long the list is.
        self._top = min(self._top, max(0, len(found) - self._page))
        said = " Type to search"
        if len(found) - self._top > self._page:
            said += " · ↓ PgDn more"
        head = Text(f"{said} · {parts.keys.shown(Action.HELP)} closes", theme.DIM)
        parts.boxes.manual.show([head, Text(), *found[self._top :]])
