"""How a new list was read, shown before it counts, and asked about once."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from rich.text import Text
from textual import events

from tagger.ui import theme
from tagger.ui.bottom_lines import hint, keys_among
from tagger.ui.desk.panel import HINT
from tagger.ui.keys import Action, KeyHint
from tagger.ui.modes import Mode

if TYPE_CHECKING:
    from tagger.ui.desk.background.checklist_reader import ShownReading
    from tagger.ui.desk.parts import DeskParts

KEYS: tuple[KeyHint, ...] = ((Action.TAKE, "that is right"), (Action.LEAVE, "ask again later"))


class ListReadingMode(Mode[Action]):
    """One list after the other, each until it is answered. Enter says that it is right; any other
    key leaves the question for the next time and does its own work."""

    css = "-manual"
    keys_here = KEYS
    topic = "checklists"
    pictured = False

    def __init__(
        self,
        parts: DeskParts,
        readings: Sequence[ShownReading],
        seen: Callable[[ShownReading], None],
    ) -> None:
        self._parts, self._left, self._seen = parts, list(readings), seen

    def on_key(self, event: events.Key, action: Action | None) -> bool:
        """Answer the question, or leave it."""
        if action in (Action.REDRAW, Action.HELP):
            return False
        if action is Action.TAKE:
            self._seen(self._left.pop(0))
            if self._left:
                return True
            self._parts.message.say("The lists are used as they were read.")
        else:
            self._parts.message.say("To correct how a list is read: tagger checklist --help.")
        self._parts.modes.close(self)
        # who types on or closes wants nothing of the question
        return action in (Action.TAKE, Action.LEAVE)

    def draw(self) -> None:
        """The frame, and the lines of the list in front."""
        parts, width = self._parts, self._parts.size.width
        parts.draw_frame(hint(parts.hint.line, width, HINT), keys_among(KEYS, parts.keys, width))
        lines = [Text(f" {line}", no_wrap=True) for line in self._left[0].lines]
        take = parts.keys.shown(Action.TAKE)
        ask = (
            f" Is this list read right? {take}: yes. A column that is not:",
            ' tagger checklist FILE --columns "HEADING=MEANING"',
        )
        said = [Text(line, theme.DIM) for line in ask]
        parts.boxes.manual.show([Text(" A new list was read:"), Text(), *lines, Text(), *said])
