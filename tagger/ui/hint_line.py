"""The one line that is typed into: text and cursor, changed by one key at a time."""

from __future__ import annotations

from typing import NamedTuple

LONGEST = 400  # characters


class HintLine(NamedTuple):
    """The typed text and the cursor's place in it, counted in characters from 0."""

    text: str = ""
    cursor: int = 0

    def typed(self, text: str) -> HintLine:
        """With text put in at the cursor. What cannot be shown is left out."""
        # A control character in a paste would be one on the screen as well.
        shown = "".join(char for char in text if char.isprintable())[: LONGEST - len(self.text)]
        return HintLine(
            self.text[: self.cursor] + shown + self.text[self.cursor :], self.cursor + len(shown)
        )

    def edited(self, key: str) -> HintLine | None:
        """After an editing key, or None where the key does not edit."""
        match key:
            case "backspace":
                return self._cut(max(0, self.cursor - 1), self.cursor)
            case "delete":
                return self._cut(self.cursor, self.cursor + 1)
            case "left":
                return self._replace(cursor=max(0, self.cursor - 1))
            case "right":
                return self._replace(cursor=min(len(self.text), self.cursor + 1))
            case "home":
                return self._replace(cursor=0)
            # Ctrl+A, its counterpart, never comes: screen and tmux keep it for themselves.
            case "end" | "ctrl+e":
                return self._replace(cursor=len(self.text))
            # As in a shell: the spaces behind the word go with it.
            case "ctrl+w":
                return self._cut(self.text[: self.cursor].rstrip().rfind(" ") + 1, self.cursor)
            case "ctrl+u":
                return self._cut(0, self.cursor)
            case "ctrl+k":
                return HintLine()
        return None

    def _cut(self, start: int, end: int) -> HintLine:
        return HintLine(self.text[:start] + self.text[end:], start)


EDITING = (
    ("Left, Right, Home, End", "move the cursor"),
    ("Backspace, Delete", "delete a character"),
    ("Ctrl+W, Ctrl+U, Ctrl+K", "delete a word, all before the cursor, the whole hint"),
)
