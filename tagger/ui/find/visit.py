"""The desk of a lot that is opened from the find screen: it stands before it until it is left."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from textual import events
from textual.screen import Screen

if TYPE_CHECKING:
    from tagger.preview.render_settings import RenderSettings
    from tagger.ui.find.ports import Copy, Finder


def afresh(event: events.Key) -> events.Key:
    """The same key as nobody has taken it yet."""
    # Textual takes no event that was stopped once.
    return events.Key(event.key, event.character)


@dataclass
class Visit:
    """`back` gets what is to be said once the desk is gone and its lot is closed."""

    screen: Screen[None]
    finder: Finder
    manner: RenderSettings
    back: Callable[[str], None]
    going_on: bool = False

    def begin(self, copy: Copy, waiting: deque[events.Key]) -> None:
        """Open the lot of a card; keys that wait are the desk's. Raises TaggerError."""
        desk = self.finder.open(copy, self.manner, self._desk_gone)
        # Before the desk is there: from now on no key is for the list.
        self.going_on = True
        self.screen.app.push_screen(desk)
        while waiting:
            desk.post_message(afresh(waiting.popleft()))

    def pass_on(self, event: events.Key) -> None:
        """Give the desk a key that was sent after it was opened, but came here."""
        self.screen.app.screen.post_message(afresh(event))

    def _desk_gone(self) -> None:
        """Called while the desk goes: what is to be closed is closed after that."""
        self.screen.call_later(self._end)

    def _end(self) -> None:
        self.going_on = False
        self.back(self.finder.close())
