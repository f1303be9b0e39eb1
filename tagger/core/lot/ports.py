"""What the rules need from the outside: a place that keeps a lot. Storage implements this; screens
only use it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from tagger.core.lot.carried import Cursor
    from tagger.core.lot.change import Change, Noted
    from tagger.core.lot.history import PastChange
    from tagger.core.lot.lot import LotState
    from tagger.core.lot.sitting import Sitting


class LotStore(Protocol):
    """Keeps one lot and its history. What a method was given is durable when it returns; only then
    does `lot` show it. On an error nothing has changed. NotSaved says that a change could not be
    made durable."""

    @property
    def looking(self) -> str:
        """Why the lot is open for looking only, as a sentence; empty where it can be worked on."""

    @property
    def lot(self) -> LotState:
        """The lot as it stands. Only the store changes it."""

    def enter(self, change: Change) -> None:
        """Do a change. What was undone before can no longer be done again. Raises NotSaved."""

    def undo(self) -> Change | None:
        """Take back the last change that stands, and return it; None where there is none. Raises
        NotSaved."""

    def redo(self) -> Change | None:
        """Do again what was taken back last, and return it; None where there is none. Raises
        NotSaved."""

    def last(self) -> str:
        """The label of the change that `undo` would take back, empty where there is none."""

    def history(
        self, limit: int, undone: bool = False, onward: int | None = None
    ) -> list[PastChange]:
        """At most `limit` changes that stand, the newest first; with `undone` those that `redo`
        would do, the next one first. `onward` is where an earlier reading ended, None to begin.
        What cannot be read ends the list."""

    # Not undone with the rest: the scans still lie there, and would come in again at once.
    def note(self, event: Noted) -> None:
        """Keep what only follows from the folder, the lists and the dealer's own record: an
        arrangement, checklist files, what scans are, a name, a part of stock numbers, what the lot
        cost. This cannot be undone. Raises NotSaved."""

    def move_to(self, cursor: Cursor) -> None:
        """Note where the dealer stands; durable with the next change, at `settle` or at `close`."""

    # Tags are what counts: no time of a sitting is worth an error while they are typed.
    def sat(self, sitting: Sitting) -> None:
        """Note what is known of this sitting; durable at `close`, and now and then at `settle`.
        Never fails."""

    def settle(self) -> None:
        """The keys are quiet: bring everything that waits to where other programs can read it.
        Raises NotSaved."""

    def copy_to(self, folder: Path) -> Path:
        """Write the lot as it stands into another folder; returns the file. Raises LotError."""

    def close(self) -> None:
        """Keep what is still open and let go of the lot."""
