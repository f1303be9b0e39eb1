"""The scans of a lot's folder, and how those that came since become cards."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from tagger.core.feeding.groups import restored_since
from tagger.core.feeding.pairing import as_before, first_intake, later_intake
from tagger.core.feeding.renaming import with_names
from tagger.core.lot.change import FolderRead, ScansSeen
from tagger.core.lot.scan_stamps import renamed_stamps

if TYPE_CHECKING:
    from tagger.core.lot.ports import LotStore
    from tagger.core.lot.view import LotView
    from tagger.core.model.arrangement import Arrangement, Pair


def folder_read(
    lot: LotView,
    scans: Sequence[str],
    known: Sequence[Pair] | None = None,
    renamed: Mapping[str, str] | None = None,
) -> FolderRead | None:
    """What becomes of a lot when these scans (any order) are in its folder; None where it stays as
    it is. `known` is where cards had their scans before, if not as they are now; `renamed` gives
    the names that scans of tagged cards have now."""
    now = lot.arrangement
    # a lot may have no card left and still be no new one: its scans were left out by hand
    if lot.cards or now.mending.left_out:
        before = with_names(now, lot.marks, renamed, set(scans)) if renamed else now
        fresh, next_id = later_intake(before, lot.marks, scans, lot.next_id)
    else:
        fresh, next_id = first_intake(scans)
    fresh = as_before(fresh, now, known or now.pairs)
    if fresh == now:
        return None
    return FolderRead(fresh, next_id)


class FolderScans:
    """The scans that were in the folder, and in those that are joined to it, when they were read
    last."""

    def __init__(self, store: LotStore) -> None:
        self._store = store
        self._names: Sequence[str] = ()

    @property
    def names(self) -> Sequence[str]:
        """The scans in feeding order, without those of folders that are not joined any more."""
        # undo may have taken a join back since the folders were read
        joined = self._store.lot.arrangement.mending.joined
        return [
            scan
            for scan in self._names
            if not scan.startswith("../") or scan.rpartition("/")[0] in joined
        ]

    def read(self, names: Sequence[str], renamed: Mapping[str, str] | None = None) -> None:
        """These scans are there now: take in those that are no side of a card yet. `renamed` gives
        the names that scans of tagged cards have now. Raises NotSaved."""
        self._names = tuple(names)
        lot = self._store.lot
        self._take_in(lot.arrangement.pairs, renamed)
        if renamed:
            # behind the cards: stopped between the two, they are known by what they are now
            stamps = renamed_stamps(lot, renamed)
            self._store.note(ScansSeen(tuple((one.scan, one.after) for one in stamps)))

    def read_again(self, known: Arrangement) -> None:
        """The arrangement is an older one again: take in the scans that came after it, and keep
        what cannot be undone of the dividers. `known` is how it was before. Raises NotSaved."""
        lot = self._store.lot
        fixes = restored_since(known.mending, lot.arrangement)
        if fixes != lot.arrangement.mending:
            kept = replace(lot.arrangement, mending=fixes)
            self._store.note(FolderRead(kept, lot.next_id))
        # without a folder that was read there is nothing that came later
        if self._names:
            self._take_in(known.pairs)

    def _take_in(self, known: Sequence[Pair], renamed: Mapping[str, str] | None = None) -> None:
        read = folder_read(self._store.lot, self.names, known, renamed)
        if read is not None:
            self._store.note(read)
