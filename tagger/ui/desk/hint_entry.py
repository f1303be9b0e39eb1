"""What is typed at the desk, and the reading of it that was chosen."""

from __future__ import annotations

from tagger.ui.hint_line import HintLine


class HintEntry:
    """The hint line, changed by keys. `choice` is the reading, counted from 0: each change of the
    text begins with the first one again."""

    def __init__(self) -> None:
        self.line = HintLine()
        self.choice = 0

    @property
    def text(self) -> str:
        """What is typed."""
        return self.line.text

    def type(self, text: str) -> None:
        """Put text in at the cursor."""
        # Another text has other readings: the one that was chosen is none of them.
        self.line, self.choice = self.line.typed(text), 0

    def edit(self, key: str) -> bool:
        """Change the line by an editing key; returns whether it is one."""
        edited = self.line.edited(key)
        if edited is None:
            return False
        self.line, self.choice = edited, 0
        return True

    def clear(self) -> None:
        """Nothing is typed any more."""
        self.line, self.choice = HintLine(), 0
