"""Going through the history: what was changed, and what was undone."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import events

from tagger.errors import Refused
from tagger.ui.bottom_lines import hint, keys_among
from tagger.ui.desk.layout import LINES
from tagger.ui.desk.modes.history_list import History
from tagger.ui.desk.panel import HINT
from tagger.ui.keys import Action, KeyHint
from tagger.ui.modes import Mode

if TYPE_CHECKING:
    from tagger.ui.desk.parts import DeskParts

KEYS: tuple[KeyHint, ...] = (
    (Action.TAKE, "go to card"), (Action.READING_DOWN, "older"), (Action.UNDO, "undo"),
    (Action.REDO, "redo"), (Action.HISTORY, "close"),
)  # fmt: skip
STEPS = {Action.READING_DOWN: 1, Action.READING_UP: -1}
PAGES = {"pagedown": 1, "pageup": -1}


class HistoryMode(Mode[Action]):
    """Read anew each time it is opened, from the newest change on."""

    css = "-past"
    keys_here = KEYS
    topic = "review"
    pictured = False

    def __init__(self, parts: DeskParts) -> None:
        self._parts = parts
        self._history = History(parts.session)

    def on_key(self, event: events.Key, action: Action | None) -> bool:
        """Do what a key does in the history. The help is about it and leaves it open; any other
        key closes it and does its own work."""
        past = self._history
        if action in STEPS:
            past.step(STEPS[action])
        elif event.key in PAGES:
            past.turn(PAGES[event.key])
        elif action in (Action.UNDO, Action.REDO):
            self._parts.actions.run(action)
            past.open()
        elif action in (Action.REDRAW, Action.HELP):
            return False
        else:
            return self._left(action)
        return True

    def _left(self, action: Action | None) -> bool:
        self._parts.modes.close(self)
        self._parts.message.say("")
        if action is Action.TAKE:
            self._go_to_change()
        return action in (Action.TAKE, Action.HISTORY)

    def _go_to_change(self) -> None:
        entry, message = self._history.here, self._parts.message
        with message.complaints():
            if entry is None:
                raise Refused("No changes yet.")
            if entry.card is None:
                raise Refused("That card is no longer in the lot.")
            self._parts.session.go(entry.card)
            message.say(f"Changed here: {entry.words}.")

    def draw(self) -> None:
        """The frame, and the list."""
        parts, size = self._parts, self._parts.size
        parts.draw_frame(
            hint(parts.hint.line, size.width, HINT), keys_among(KEYS, parts.keys, size.width)
        )
        # By the screen's size: the box has none of its own until it has been laid out, which may be
        # after this.
        rows = max(1, size.height - LINES)
        parts.boxes.past.show(self._history.lines(parts.keys, size.width, rows))
