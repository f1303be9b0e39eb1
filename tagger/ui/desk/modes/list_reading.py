"""How a new list was read, shown before it counts, and asked about once."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from rich.style import Style
from rich.text import Text
from textual import events

from tagger.ui import theme
from tagger.ui.bottom_lines import hint, keys_among
from tagger.ui.desk.layout import LINES
from tagger.ui.desk.panel import HINT
from tagger.ui.fit import Part, fit
from tagger.ui.keys import Action, KeyHint
from tagger.ui.modes import Mode
from tagger.ui.wording import wrapped

if TYPE_CHECKING:
    from tagger.ui.desk.background.checklist_reader import ShownReading
    from tagger.ui.desk.parts import DeskParts

KEYS: tuple[KeyHint, ...] = ((Action.TAKE, "that is right"), (Action.LEAVE, "ask again later"))


# where the question would disturb
ANOTHER_TIME = "A list is new: tagger checklist FILE shows how it was read."


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
        self._asked = False  # whether it can be seen

    def on_key(self, event: events.Key, action: Action | None) -> bool:
        """Answer the question, or leave it."""
        if action in (Action.REDRAW, Action.HELP):
            return False
        if not self._asked:
            # it was meant for what is still on the screen
            self._parts.message.say(ANOTHER_TIME)
            self._parts.modes.close(self)
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
        take = parts.keys.shown(Action.TAKE)
        ask = (
            f" Is this list read right? {take}: yes. A column that is not:",
            ' tagger checklist FILE --columns "HEADING=MEANING"',
        )
        said = [Text(line, theme.DIM) for line in ask]
        head = [Text(" A new list was read:"), Text()]
        room = parts.size.height - LINES - len(head) - 1 - len(said)
        lines = fitted(self._left[0].lines, width, room)
        parts.boxes.manual.show([*head, *lines, Text(), *said])
        self._asked = True


def fitted(entries: Sequence[str], width: int, room: int) -> list[Text]:
    """Each entry over as many lines as it needs; where there is no room for all, the longest of
    them end sooner."""
    whole = [_set_in(wrapped(entry, width - 2, Style.null())) for entry in entries]
    parts = [
        Part(
            [_ended(lines, most) for most in range(len(lines), 0, -1)], tuple(range(-len(lines), 0))
        )
        for lines in whole
    ]
    return [line for lines in fit(parts, room, len) for line in lines]


def _set_in(lines: list[Text]) -> list[Text]:
    """The lines of one entry, so that it is seen where the next one begins."""
    return [*lines[:1], *(Text("  ").append_text(line) for line in lines[1:])]


def _ended(lines: Sequence[Text], most: int) -> list[Text]:
    """The first lines, with an ellipsis where there are more."""
    shown = list(lines[:most])
    if len(lines) > most:
        last = shown[-1].copy()
        last.truncate(last.cell_len - 1)
        shown[-1] = last.append("…")
    return shown
