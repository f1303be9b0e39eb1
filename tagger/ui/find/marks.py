"""Cards that are marked as sold or pulled on the find screen, and marks that are taken back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tagger.errors import TaggerError
from tagger.ui.keys import Action

if TYPE_CHECKING:
    from tagger.ui.find.parts import FindParts
    from tagger.ui.find.ports import Copy, Finder


class Marks:
    """`count`: how many can be taken back. What is listed is searched for anew after each."""

    def __init__(self, parts: FindParts, finder: Finder) -> None:
        self._parts, self._finder = parts, finder
        self.count = 0

    def mark(self, copy: Copy, gone: str) -> None:
        """Mark a card; whatever goes wrong is said."""
        try:
            said = self._finder.mark(copy, gone)
        except TaggerError as error:
            # The list does not show what is there, or it would not have been refused.
            self._parts.search.look_again()
            self._parts.message.say(error.message, alarm=True)
            return
        self.count += 1
        self.done(f"{said} {self._parts.keys.shown(Action.UNDO)} undoes it.")

    def undo(self) -> None:
        """Take back what was marked last. Raises TaggerError."""
        # Counted down only when it is done: a lot that is open elsewhere keeps its mark.
        said = self._finder.undo()
        self.count -= 1
        self.done(said)

    def done(self, said: str) -> None:
        """Something was changed in a lot: search anew, and say what."""
        self._parts.search.look_again()
        self._parts.message.say(said)
