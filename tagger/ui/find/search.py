"""What is typed on the find screen, and the answer to it: searched for in a thread of its own."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from textual.message import Message
from textual.screen import Screen

from tagger.core.model.counted import counted
from tagger.errors import TaggerError
from tagger.ui.find.latest_only_worker import LatestOnlyWorker
from tagger.ui.find.ports import Finder, Finds

if TYPE_CHECKING:
    from tagger.ui.find.hit_list import HitList


class Answered(Message):
    """What was asked last was answered."""

    def __init__(self, found: Finds | Exception) -> None:
        super().__init__()
        self.found = found


class ListsBeingRead(Message):
    """How many lots were read, of so many that are read."""

    def __init__(self, done: int, of: int) -> None:
        super().__init__()
        self.done, self.of = done, of


class TypedSearch:
    """Asks for what is `typed` and lists the answer; `screen` gets Answered and ListsBeingRead."""

    def __init__(
        self, screen: Screen[None], finder: Finder, typed: Callable[[], str], found: HitList
    ) -> None:
        self._screen, self._finder, self._typed, self._found = screen, finder, typed, found
        self._worker = LatestOnlyWorker(
            lambda words: finder.search(words, self._tell), self._answered
        )
        self._asked: str | None = None  # the words that an answer is due for
        self._reading = ""

    def _tell(self, done: int, of: int) -> None:
        """Called from the searching thread."""
        self._screen.post_message(ListsBeingRead(done, of))

    def _answered(self, found: Finds | Exception) -> None:
        """Called from the searching thread."""
        self._screen.post_message(Answered(found))

    @property
    def due(self) -> bool:
        """Whether an answer is still to come."""
        return self._asked is not None

    @property
    def lots(self) -> str:
        """How many lots were looked through, or how far it is."""
        return self._reading or counted(self._found.finds.lots, "lot")

    def ask(self, again: bool = False) -> None:
        """Search for what is typed, where it is not what was asked last, or `again`."""
        words = " ".join(self._typed().split())
        last = self._found.finds.words if self._asked is None else self._asked
        # Drawing asks as well: words that were asked for already must not be asked for again.
        if again or last != words:
            self._asked = words
            self._worker.ask(words)

    def look_again(self) -> None:
        """Lots may have changed: search anew."""
        self._finder.again()
        self.ask(again=True)

    def reading(self, message: ListsBeingRead) -> None:
        """Lots are being read before the answer."""
        self._reading = f"reading lots: {message.done:,} of {message.of:,}"

    def came(self, message: Answered) -> str:
        """List what was found; returns what there is to say of lots that could not be read. Raises
        what the search raised, where the dealer can do nothing about it."""
        found, words = message.found, self._asked
        # Before anything is raised: the keys that wait would else wait for an answer that never
        # comes.
        self._asked, self._reading = None, ""
        if isinstance(found, TaggerError):
            found = Finds(words or "", problem=found.message)
        # An error of the program itself must not look like a search in vain.
        if isinstance(found, Exception):
            raise found
        self._found.show(found)
        if not found.skipped:
            return ""
        first, *rest = found.skipped
        return f"{first} and {len(rest)} more" if rest else first

    def close(self) -> None:
        """Search no more."""
        self._worker.close()
