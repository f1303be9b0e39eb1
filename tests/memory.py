"""A store without a disk, by the one rule that every store follows: what a lot should be."""

from __future__ import annotations

from dataclasses import replace

from tagger.core.model import Arrangement, Change, Desk, LotState
from tagger.core.ports import Entry
from tagger.core.session import entered


class MemoryStore:
    """Keeps a lot in memory only."""

    def __init__(self) -> None:
        self.state = LotState()

    def load(self) -> LotState:
        return self.state

    def enter(self, entry: Entry, change: Change) -> None:
        self.state = entered(self.state, entry, change)

    def intake(self, arrangement: Arrangement, next_id: int) -> None:
        self.state = replace(self.state, arrangement=arrangement, next_id=next_id)

    def remember(self, checklists: tuple[str, ...]) -> None:
        self.state = replace(self.state, checklists=checklists)

    def stand(self, desk: Desk) -> None:
        self.state = replace(self.state, desk=desk)

    def close(self) -> None:
        pass
