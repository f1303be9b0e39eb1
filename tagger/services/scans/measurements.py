"""What was measured on the scans of a lot, now or in an earlier sitting, and what is found from
it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.core.audit.audit import audit
from tagger.core.audit.card_size import USUAL, Size, settled, to_measure_again
from tagger.core.audit.feed_report import Comparing
from tagger.core.audit.measured import Measured
from tagger.imaging.survey.measure_lot import survey
from tagger.services.progress import follow
from tagger.store.caches.measured_cache import MeasuredCache
from tagger.store.machine.paths import LotPlace, measured_folder

if TYPE_CHECKING:
    from tagger.core.audit.audited_lot import AuditedLot
    from tagger.core.audit.findings import Finding
    from tagger.core.dividers.seen import CodeSeen
    from tagger.imaging.survey.workers import Workers

GONE = Measured("gone")


class Measurements:
    """The measurements of one folder's scans; each scan is measured once, and again when its file
    is another."""

    def __init__(self, folder: Path, cache: Path) -> None:
        self._folder = folder
        self._cache = MeasuredCache(cache, folder)
        self._known: dict[str, Measured] = {}

    def measure(
        self, scans: Sequence[str], workers: Workers | None = None
    ) -> Iterator[tuple[int, int]]:
        """Measure what is not known; after each scan, how many of how many. What was measured stays
        when this is left early."""
        self._cache.refresh(self._known, scans)
        todo = [scan for scan in scans if scan not in self._known]
        try:
            yield from self._measure(todo, workers, USUAL)
            # What size the cards have is known when most of them were seen.
            size, again = to_measure_again(self.of(scans))
            yield from self._measure(again, workers, size)
        finally:
            # Also when it is stopped: the next time goes on from there.
            self._cache.keep()

    def _measure(
        self, todo: Sequence[str], workers: Workers | None, size: Size
    ) -> Iterator[tuple[int, int]]:
        # Taken before the files are read: one that is written meanwhile is measured again.
        stamps = {scan: self._cache.stamp(scan) for scan in todo}
        measured = survey(self._folder, todo, workers, size)
        for count, (scan, found) in enumerate(measured, start=1):
            self._known[scan] = found
            self._cache.put(scan, found, stamps[scan])
            yield count, len(todo)

    def has(self, scan: str) -> bool:
        """Whether a scan was measured."""
        return scan in self._known

    def times(self, scans: Iterable[str]) -> dict[str, int]:
        """When the files of these scans were written, in ns; those that are there."""
        stamps = {scan: self._cache.stamp(scan) for scan in scans}
        return {scan: stamp[1] for scan, stamp in stamps.items() if stamp is not None}

    def of(self, scans: Iterable[str]) -> dict[str, Measured]:
        """What is known of these scans; one that could not be measured is said to be gone."""
        asked = {scan: self._known.get(scan, GONE) for scan in scans}
        return settled(asked)


def measure_lot(
    place: LotPlace, scans: Sequence[str], workers: Workers | None = None
) -> Measurements:
    """What is known of these scans, with those measured that were not; a terminal shows how far it
    is."""
    known = Measurements(place.folder, measured_folder())
    follow("scans measured", known.measure(scans, workers))
    return known


def findings_of(
    lot: AuditedLot,
    measured: Mapping[str, Measured],
    expected: int | None = None,
    codes: Mapping[str, CodeSeen] | None = None,
) -> list[Finding]:
    """What is found in a lot; `codes` are those of dividers, by scan. Loads what compares pictures:
    on the desk it is done in another process."""
    # It compares pictures and loads numpy, which the desk's own process does without.
    from tagger.imaging.survey.feed_reading import read_feed
    from tagger.imaging.survey.orientation import find_orientations
    from tagger.imaging.survey.perceptual_hash import alike_band

    comparing = Comparing(alike_band, find_orientations, read_feed)
    return audit(lot, measured.__getitem__, comparing, expected, codes)
