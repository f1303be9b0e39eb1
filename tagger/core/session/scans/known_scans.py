"""What is known of the files of a lot's scans while it is open: read, kept with the cards that get
tags, and asked about where they were replaced."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from tagger.core.lot.change import ScansSeen
from tagger.core.lot.scan_stamps import digests_found, newly_placed, newly_tagged
from tagger.core.model.scan_ref import ScanStamp, StampChange
from tagger.core.session.scans.replaced_scans import ReplacedScans

if TYPE_CHECKING:
    from tagger.core.lot.ports import LotStore
    from tagger.core.lot.view import LotView
    from tagger.core.model.arrangement import Arrangement
    from tagger.core.model.tags import Marking


class KnownScans:
    """`replaced` are those that are asked about; `undigested` scans of cards that were tagged in
    this sitting and whose files are still to be read."""

    def __init__(self, store: LotStore) -> None:
        self._store = store
        self._view: LotView = store.lot
        self.replaced = ReplacedScans(self._view)
        self.stamp_of: Callable[[str], ScanStamp | None] = lambda scan: None
        """Tells which file a scan is, without reading it; None for one that is not there."""
        self.undigested: list[str] = []

    def are_known(self, scans: Iterable[str]) -> None:
        """From now on these scans of tagged cards are what they are now."""
        found = {scan: now for scan in scans if (now := self.stamp_of(scan)) is not None}
        if found:
            self.read(found)
            self.undigested.extend(found)

    def stamped(
        self,
        markings: Sequence[Marking],
        arrangement: Arrangement | None,
        stamps: Sequence[StampChange],
    ) -> Iterator[StampChange]:
        """What the scans of cards are that get their tags with this change."""
        said, known = {one.scan for one in stamps}, self._view.stamps
        if arrangement is None:
            scans = newly_tagged(self._view, markings)
        else:
            scans = newly_placed(self._view, self._view.arrangement, arrangement, markings)
        for scan in scans:
            if scan in said:
                continue
            before, after = known.get(scan), self.stamp_of(scan)
            # By size and time alone: what a digest would say is not known yet, and a key must not
            # wait for a file to be read.
            if (before and before[:2]) != (after and after[:2]):
                self.undigested.append(scan)
                yield StampChange(scan, before, after)

    def read(self, found: Mapping[str, ScanStamp], looked_at: Iterable[str] = ()) -> None:
        """These scans were read; others that were `looked_at` cannot be. What is news of a file
        that is still the same one is kept, and of other ones it is asked what they are. Raises
        NotSaved."""
        known = self._view.stamps
        others = {
            scan: now
            for scan, now in found.items()
            if (was := known.get(scan)) is not None and not was.is_as(now)
        }
        self.replaced.learn(found, others)
        done = {*found, *looked_at}
        # Also those that cannot be read: they would be tried again with every pause of the keys.
        self.undigested = [scan for scan in self.undigested if scan not in done]
        stamps = digests_found(self._view, found)
        if stamps and not self._store.looking:
            self._store.note(ScansSeen(stamps))
