"""The scans as a screen sees them, read from the disk: those of a lot at its desk, and those of all
lots on the find screen. Both are adapters onto `preview.pictures.Source`."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from functools import lru_cache
from typing import TYPE_CHECKING

from PIL import Image

from tagger.core.audit.poses import Poses
from tagger.core.model.pose import PLAIN, Pose
from tagger.core.model.text import printable
from tagger.errors import LotError, PictureError
from tagger.imaging.scan.scans import ScanReader
from tagger.preview.grey import legible
from tagger.preview.pictures import Crop, View, WholePicture
from tagger.store.caches.disk_cache import DiskCache
from tagger.store.lot.lot_file import read_lot
from tagger.store.machine.paths import LotPlace, cache_folder, is_pulled, measured_folder

if TYPE_CHECKING:
    from tagger.config import Settings
    from tagger.core.lot.lot import LotState
    from tagger.core.model.scan_ref import LotRef, ScanRef
    from tagger.store.caches.measured_cache import MeasuredCache

LOTS = 16  # that are kept open to see how their scans stand; a page of the list has hardly more


class FolderSource:
    """The scans of a folder as they are seen on the desk."""

    def __init__(
        self, scans: ScanReader, other: Callable[[LotRef], ScanReader] | None = None
    ) -> None:
        """`other` gives the scans of another lot, for the front of a known card."""
        self._scans, self._other = scans, other

    def load(self, ref: ScanRef, seen: View, grid: tuple[int, int]) -> Image.Image:
        """A scan as it is seen. Raises PictureError."""
        scans = self._of(ref)
        if isinstance(seen, WholePicture):
            return scans.whole(ref.scan, seen.box, grid, seen.pose)
        if seen.room is not None:
            return _print(scans, ref.scan, seen, seen.room, grid)
        part = scans.part(ref.scan, seen.region, seen.box, grid, seen.pose)
        return legible(part) if seen.grey else part

    def stamp(self, ref: ScanRef) -> Hashable:
        """What changes when the scan's file does."""
        return self._of(ref).stamp(ref.scan)

    def _of(self, ref: ScanRef) -> ScanReader:
        if ref.lot is None:
            return self._scans
        if self._other is None:
            raise PictureError(f"{printable(ref.scan)} is in another folder.")
        return self._other(ref.lot)


def _print(
    scans: ScanReader, scan: str, seen: Crop, room: tuple[int, int], grid: tuple[int, int]
) -> Image.Image:
    """The letters of a line of print."""
    from tagger.imaging.scan.pictures import SQUARE
    from tagger.imaging.scan.print_cut import cut_to_print, widened

    region, box = widened(seen.region, seen.box)
    across, down = grid
    # A cell is one wide and two high, whatever pixels it has.
    size = room[0] * across, -(-room[1] * down // 2)
    piece = scans.part(scan, region, box, SQUARE, seen.pose)
    return cut_to_print(piece, size, down / 2 / across).convert("RGB")


class FoundScans:
    """The scans of all lots, as they are seen at their desks: turned and straight as far as that is
    known."""

    def __init__(self, settings: Settings) -> None:
        self._settings = settings
        self._copies = DiskCache(cache_folder() / "pictures")
        # A lot that changed has another name, so what is remembered never grows old.
        self._lot = lru_cache(LOTS)(_known)

    def load(self, ref: ScanRef, seen: View, grid: tuple[int, int]) -> Image.Image:
        """A scan as it is seen. Raises PictureError."""
        if is_pulled(LotPlace.of(_lot_of(ref))):
            raise PictureError("This picture is at its own station.")
        return self._reader(ref).whole(ref.scan, seen.box, grid, self._pose(ref))

    def stamp(self, ref: ScanRef) -> Hashable:
        """What changes when the scan's file does."""
        return self._reader(ref).stamp(ref.scan)

    def _reader(self, ref: ScanRef) -> ScanReader:
        return ScanReader(LotPlace.of(_lot_of(ref)).folder, self._copies)

    def _pose(self, ref: ScanRef) -> Pose:
        try:
            state, measured = self._lot(_lot_of(ref))
        except LotError:
            return PLAIN
        poses, known = Poses(self._settings.crop, self._settings.margin), measured.get(ref.scan)
        if known is not None:
            poses.learn({ref.scan: known})
        pair = state.arrangement.card_with(ref.scan)
        own = "" if pair is None else state.mark(pair.id).tags.set
        return poses.of(ref.scan, state.arrangement.mending, own)


def _lot_of(ref: ScanRef) -> LotRef:
    assert ref.lot is not None  # no lot is open here that a scan could be of
    return ref.lot


def _known(lot: LotRef) -> tuple[LotState, MeasuredCache]:
    """What is kept of a lot. Raises LotError."""
    # for the find screen alone: the desk is handed what it knows
    from tagger.store.caches.measured_cache import MeasuredCache

    place = LotPlace.of(lot)
    return read_lot(place.home), MeasuredCache(measured_folder(), place.folder)
