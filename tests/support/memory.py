"""A store without a disk: what a lot should be, by the plainest means."""

from __future__ import annotations

from pathlib import Path

from tagger.core.lot.carried import Cursor
from tagger.core.lot.change import Change, Noted
from tagger.core.lot.history import PastChange
from tagger.core.lot.lot import LotState
from tagger.core.lot.sitting import Sitting


class MemoryStore:
    """Keeps a lot and its history in memory only."""

    looking = ""

    def __init__(self) -> None:
        self.lot = LotState()
        self.done: list[Change] = []
        self.undone: list[Change] = []

    def enter(self, change: Change) -> None:
        self.lot.apply(change.forward())
        self.done.append(change)
        self.undone.clear()

    def undo(self) -> Change | None:
        if not self.done:
            return None
        change = self.done.pop()
        self.lot.apply(change.backward())
        self.undone.append(change)
        return change

    def redo(self) -> Change | None:
        if not self.undone:
            return None
        change = self.undone.pop()
        self.lot.apply(change.forward())
        self.done.append(change)
        return change

    def last(self) -> str:
        return self.done[-1].label if self.done else ""

    def history(
        self, limit: int, undone: bool = False, onward: int | None = None
    ) -> list[PastChange]:
        changes = self.undone if undone else self.done
        end = len(changes) if onward is None else onward
        return [PastChange(changes[at], at) for at in range(end - 1, max(-1, end - 1 - limit), -1)]

    def note(self, event: Noted) -> None:
        self.lot.apply(event)

    def move_to(self, cursor: Cursor) -> None:
        self.lot.apply(cursor)

    def sat(self, sitting: Sitting) -> None:
        self.lot.apply(sitting)

    def settle(self) -> None:
        pass

    def copy_to(self, folder: Path) -> Path:
        return folder

    def close(self) -> None:
        pass
