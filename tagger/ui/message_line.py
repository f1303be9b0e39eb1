"""The line that says what was done, or why nothing was."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from rich.text import Text

from tagger.errors import TaggerError
from tagger.ui import theme
from tagger.ui.wording import wrapped


class MessageLine:
    """What was said last; `alarm` where it went wrong."""

    def __init__(self, text: str = "") -> None:
        self.text = text
        self.alarm = False

    def say(self, text: str, alarm: bool = False) -> None:
        """Say this from now on; nothing, where it is empty."""
        self.text, self.alarm = text, alarm

    @contextmanager
    def complaints(self) -> Iterator[None]:
        """What is refused meanwhile is said, and goes no farther."""
        try:
            yield
        except TaggerError as error:
            self.say(error.message, alarm=True)

    def lines(self, width: int) -> list[Text]:
        """What is drawn, over as many lines as it needs: what is advised is never cut."""
        # By colour as well, never by colour alone: the sentence says that it was refused.
        return wrapped(self.text, width, theme.RUST if self.alarm else theme.SEA)
