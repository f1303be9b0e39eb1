"""What the rules need from the outside: a place that keeps a lot. Storage implements this; screens only use it."""

from __future__ import annotations

from enum import StrEnum
from typing import Protocol

from tagger.core.model import Arrangement, Change, Desk, LotState


class Entry(StrEnum):
    """How a change is entered: done anew (whatever was undone before is dropped), undone, or done again."""

    DO = "do"
    UNDO = "undo"
    REDO = "redo"


class LotStore(Protocol):
    """Keeps one lot. What `enter` was given is durable when it returns; on any error nothing has changed."""

    def load(self) -> LotState:
        """The lot as last kept; an empty state for a lot that was never kept."""

    def enter(self, entry: Entry, change: Change) -> None:
        """Keep one change. For UNDO and REDO, `change` is the one from the history that is undone or done again.

        Raises NotSaved where it could not be made durable.
        """

    def intake(self, arrangement: Arrangement, next_id: int) -> None:
        """Keep an arrangement that follows from the folder itself; this is no undoable change."""

    def remember(self, checklists: tuple[str, ...]) -> None:
        """Keep which checklist files belong to the lot."""

    def stand(self, desk: Desk) -> None:
        """Note where the dealer stands. May be kept later, at the next change or at `close`."""

    def close(self) -> None:
        """Keep what is still open and let go of the lot."""
