"""The desk of a lot that is opened from the find screen: it stands before it until it is left."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable

from textual import events
from textual.screen import Screen

from tagger.preview.render_settings import RenderSettings
from tagger.ui.find.ports import Copy, Finder, Visit


def afresh(event: events.Key) -> events.Key:
    """The same key as nobody has taken it yet."""
    return events.Key(event.key, event.character)


class FindVisits(Screen[None]):
    """The part of the find screen that opens lots."""

    _finder: Finder
    _manner: RenderSettings
    _waiting: deque[events.Key]
    _here: Callable[[], Copy]
    _after: Callable[[str], None]
    _drain: Callable[[], None]

    _visit: Visit | None = None

    def _open(self) -> None:
        copy = self._here()
        self._visit = self._finder.open(copy)
        desk = self._visit.desk(self._manner, self._desk_gone)
        waiting, self._waiting = self._waiting, deque()
        self.app.push_screen(desk)
        for event in waiting:
            desk.post_message(afresh(event))

    def _desk_gone(self) -> None:
        """Called while the desk goes: what is to be closed is closed after that."""
        self.call_later(self._came_back)

    def _came_back(self) -> None:
        visit, self._visit = self._visit, None
        if visit is not None:
            self._after(visit.close())
        self._drain()
