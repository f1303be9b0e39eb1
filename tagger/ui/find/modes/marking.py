"""What the card at the cursor is to be marked as: a key says which, Enter does it, any other key
ends the question."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import events

from tagger.core.model.text import printable
from tagger.ui.find import lines
from tagger.ui.find.hit_list import choices, next_choice
from tagger.ui.find.keys import FindAction
from tagger.ui.modes import Mode

if TYPE_CHECKING:
    from tagger.ui.find.marks import Marks
    from tagger.ui.find.parts import FindParts
    from tagger.ui.find.ports import Copy


class MarkMode(Mode[FindAction]):
    """Begins with the first thing that a card can be marked as."""

    def __init__(self, parts: FindParts, marks: Marks, copy: Copy) -> None:
        self._parts, self._marks = parts, marks
        self._gone = choices(copy)[0]

    def on_key(self, event: events.Key, action: FindAction | None) -> bool:
        """Say another word, mark, or end the question and leave the key to the list."""
        # Asked for anew with each key: an answer may have come, and another card be at the cursor.
        copy = self._parts.found.here
        if action is None:
            if self._changes_words(event):
                self._parts.modes.close(self)
            return False
        if copy is not None and action is FindAction.MARK:
            self._turn(copy)
            return True
        self._parts.modes.close(self)
        if copy is None or action is not FindAction.TAKE:
            return False
        self._marks.mark(copy, self._gone)
        return True

    def on_text(self, text: str) -> bool:
        """Other words are another card: the question is over."""
        self._parts.modes.close(self)
        return False

    def _changes_words(self, event: events.Key) -> bool:
        if event.character is not None and event.is_printable:
            return True
        return self._parts.typed.line.edited(event.key) is not None

    def _turn(self, copy: Copy) -> None:
        """The next word; after the last one nothing is asked any more."""
        following = next_choice(copy, self._gone)
        if following is None:
            self._parts.modes.close(self)
        else:
            self._gone = following

    def draw(self) -> None:
        """The frame with the question, and the list."""
        parts, here, asked = self._parts, self._parts.found.here, ""
        if here is not None:
            asked = printable(lines.asked(here, self._gone, parts.keys))
        wanted = lines.useful_asked(self._marks.count > 0)
        parts.draw_frame(lines.key_line(wanted, parts.keys, parts.size.width), asked)
        parts.draw_list()
