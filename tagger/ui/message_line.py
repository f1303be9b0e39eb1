"""The line that says what was done, or why nothing was."""

from __future__ import annotations

from rich.text import Text

from tagger.core.model.text import printable
from tagger.ui import theme


class MessageLine:
    """What was said last; `alarm` where it went wrong."""

    def __init__(self, text: str = "") -> None:
        self.text = text
        self.alarm = False

    def say(self, text: str, alarm: bool = False) -> None:
        """Say this from now on; nothing, where it is empty."""
        self.text, self.alarm = text, alarm

    def line(self) -> Text:
        """The line as it is drawn."""
        # By colour as well, never by colour alone: the sentence says that it was refused.
        style = theme.RUST if self.alarm else theme.SEA
        return Text(f" {printable(self.text)}", style)
