"""One undoable step, and what it makes of a lot."""

from __future__ import annotations

from dataclasses import dataclass

from tagger.core.lot.carried import Cursor
from tagger.core.model.arrangement import Arrangement
from tagger.core.model.tags import Mark, Marking


@dataclass(frozen=True, slots=True)
class Effect:
    """What becomes of a lot: the desk, new marks by the cards' identities, and a new arrangement if
    there is one."""

    desk: Cursor
    marks: tuple[tuple[int, Mark], ...] = ()
    arrangement: Arrangement | None = None


@dataclass(frozen=True, slots=True)
class Change:
    """One undoable step: marks, the desk before and after, and the arrangement where that changed
    too."""

    label: str
    at: float
    before: Cursor
    after: Cursor
    marks: tuple[Marking, ...] = ()
    arrangement: tuple[Arrangement, Arrangement] | None = None

    def forward(self) -> Effect:
        """What doing it makes of the lot."""
        arrangement = self.arrangement[1] if self.arrangement else None
        return Effect(self.after, tuple((m.id, m.after) for m in self.marks), arrangement)

    def backward(self) -> Effect:
        """What taking it back makes of the lot."""
        arrangement = self.arrangement[0] if self.arrangement else None
        return Effect(
            self.before, tuple((m.id, m.before) for m in reversed(self.marks)), arrangement
        )
