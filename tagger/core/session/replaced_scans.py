"""Cards whose scans are other files than when they were tagged: the same card scanned again, or
another card? Each answer is one change, durable and undoable like a tag."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from tagger.core.lot.scan_stamps import (
    StampChange,
    asked_cards,
    is_named,
    other_scans,
)
from tagger.core.lot.view import UNTAGGED
from tagger.core.model.counted import counted
from tagger.core.model.tags import Marking
from tagger.errors import Refused

if TYPE_CHECKING:
    from tagger.core.lot.scan_stamps import ScanStamp
    from tagger.core.lot.view import LotView
    from tagger.core.session.session import Session


class ReplacedScans:
    """Which cards are asked about. What the files are now is told by whoever looked at them."""

    def __init__(self, view: LotView) -> None:
        self._view = view
        self._now: dict[str, ScanStamp] = {}
        self._known: tuple[int, tuple[int, ...]] = -1, ()

    def learn(self, looked_at: Iterable[str], changed: Mapping[str, ScanStamp]) -> None:
        """These scans were looked at, and those of them that changed are these files now."""
        for scan in looked_at:
            self._now.pop(scan, None)
        self._now.update(changed)
        self._known = -1, ()

    def positions(self) -> Sequence[int]:
        """The positions of the cards that are asked about."""
        if not self._now:
            return ()
        if self._known[0] != self._view.revision:
            self._known = self._view.revision, tuple(asked_cards(self._view, self._now))
        return self._known[1]

    @property
    def now(self) -> Mapping[str, ScanStamp]:
        """The scans that are other files than they were when they were looked at, as they are."""
        return self._now

    def scans(self, position: int) -> tuple[str, ...]:
        """The scans of a card that are other files now; empty where nothing is asked of it."""
        pair = self._view.arrangement.pairs[position - 1]
        return other_scans(self._view, pair, self._now) if self._asks(pair.id) else ()

    def _asks(self, id: int) -> bool:
        return bool(self._now) and is_named(self._view.mark(id))

    def accepted(self, positions: Iterable[int]) -> list[StampChange]:
        """What is known of the files of these cards once they are accepted as they are now."""
        stamps = self._view.stamps
        scans = (scan for position in positions for scan in self.scans(position))
        return [StampChange(scan, stamps.get(scan), self._now[scan]) for scan in scans]


def same_card(session: Session, positions: Sequence[int]) -> str:
    """These cards were scanned again: they keep their tags. Raises Refused where none of them is
    asked about."""
    asked = _asked(session, positions)
    said = f"{_cards(asked)}: scanned again, tags kept"
    session.enter(said, stamps=session.replaced.accepted(asked))
    return f"{said[0].upper()}{said[1:]}."


def another_card(session: Session, positions: Sequence[int]) -> str:
    """Other cards lie there now: the tags are removed. Raises Refused where none of them is asked
    about."""
    asked = _asked(session, positions)
    cards = [session.view.card_at(position) for position in asked]
    said = f"{_cards(asked)}: another card, tags removed"
    session.enter(said, [Marking(card.id, card.mark, UNTAGGED) for card in cards])
    return f"{said[0].upper()}{said[1:]}."


# by the words that are typed for them
ANSWERS: Mapping[str, Callable[[Session, Sequence[int]], str]] = {
    "same": same_card,
    "another": another_card,
}


def _asked(session: Session, positions: Sequence[int]) -> list[int]:
    meant = set(positions)
    asked = [position for position in session.replaced.positions() if position in meant]
    if not asked:
        raise Refused("No scan was replaced here since the card was tagged.")
    return asked


def _cards(positions: Sequence[int]) -> str:
    if len(positions) == 1:
        return f"card {positions[0]}"
    return f"{counted(len(positions), 'card')} from card {positions[0]} on"
