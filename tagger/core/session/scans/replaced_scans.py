"""Cards whose scans are other files than when they were tagged: the same card scanned again, or
another card? Each answer is one change, durable and undoable like a tag."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from tagger.core.lot.scan_stamps import asked_cards, other_scans
from tagger.core.model.scan_ref import StampChange

if TYPE_CHECKING:
    from tagger.core.lot.view import LotView
    from tagger.core.model.scan_ref import ScanStamp


class ReplacedScans:
    """Which cards are asked about. What the files are now is told by whoever looked at them."""

    def __init__(self, view: LotView) -> None:
        self._view = view
        self._now: dict[str, ScanStamp] = {}
        self._known: tuple[int, tuple[int, ...]] = -1, ()

    def learn(self, looked_at: Iterable[str], changed: Mapping[str, ScanStamp]) -> None:
        """These scans were looked at, and those of them that changed are these files now."""
        # First all that was looked at: a file that was put back as it was is in question no more.
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
        return bool(self._now) and self._view.mark(id).named

    def accepted(self, positions: Iterable[int]) -> list[StampChange]:
        """What is known of the files of these cards once they are accepted as they are now."""
        stamps = self._view.stamps
        scans = (scan for position in positions for scan in self.scans(position))
        return [StampChange(scan, stamps.get(scan), self._now[scan]) for scan in scans]
