"""What the find screen needs from the outside: cards found over all lots, marked there, their lots
opened."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

from tagger.core.model.scan_ref import LotRef, ScanRef

if TYPE_CHECKING:
    from tagger.core.reports.card_search import SearchHit
    from tagger.preview.render_settings import RenderSettings
    from tagger.ui.desk.screen import DeskScreen


@dataclass(frozen=True, slots=True)
class Copy:
    """A card that was found. `lot` is the name of its lot, printable; `ref` the lot as it was when
    it was searched."""

    lot: str
    ref: LotRef
    card: SearchHit

    @property
    def home(self) -> str:
        """What tells lots of the same name apart."""
        return self.ref.home

    @property
    def key(self) -> tuple[str, str, str]:
        """The same for the same physical card, whatever becomes of it."""
        # Not by its position, which a fix of a card before it moves.
        return self.home, self.card.front, self.card.back

    @property
    def scans(self) -> tuple[ScanRef | None, ScanRef | None]:
        """Front and back, None where there is none."""
        # In the index a side that is missing is an empty name.
        front, back = self.card.front, self.card.back
        return (
            ScanRef(self.ref, front) if front else None,
            ScanRef(self.ref, back) if back else None,
        )


@dataclass(frozen=True, slots=True)
class Finds:
    """The answer to some words: the copies, best first, those that left among them. `more`: there
    are others. `lots` were looked through; `skipped` has a sentence for each that could not be,
    where that is news. `problem` says why these words cannot be answered."""

    words: str
    copies: tuple[Copy, ...] = ()
    more: bool = False
    lots: int = 0
    skipped: tuple[str, ...] = ()
    problem: str = ""


class Finder(Protocol):
    """Finds cards over all lots. `search` is called from a thread of its own, all else from the
    screen's."""

    def search(self, words: str, tell: Callable[[int, int], None]) -> Finds:
        """The cards that these words mean; none for no words. Waits until the lots are read; `tell`
        gets (lots read, lots to be read). Raises TaggerError."""

    def again(self) -> None:
        """Lots may have changed: look at them anew with the next search."""

    def mark(self, copy: Copy, gone: str) -> str:
        """Mark a card as `gone`, `sold` or `pulled`; empty: it is there again. Returns what was
        done. Raises TaggerError."""

    def undo(self) -> str:
        """Take back what was marked last, and say so. Raises TaggerError."""

    def open(self, copy: Copy, manner: RenderSettings, left: Callable[[], None]) -> DeskScreen:
        """Open the lot of a card; returns its desk, which stands at the card. `left` is called once
        it is gone from the terminal. Raises TaggerError, LockedError where another program has the
        lot open."""

    def close(self) -> str:
        """Let go of the lot that is open; returns what to say of it, nothing where none is."""
