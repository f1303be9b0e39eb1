"""The codes of dividers on the scans of a lot, now or in an earlier sitting: looked for before all
else, since they say what is carried."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator, Mapping, Sequence
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.core.dividers.seen import NONE_SEEN, CodeSeen
from tagger.services.progress import follow
from tagger.store.caches.measured_cache import CodeCache
from tagger.store.machine.paths import LotPlace, measured_folder

if TYPE_CHECKING:
    from concurrent.futures import Future

    from tagger.imaging.survey.workers import Workers
    from tagger.store.caches.scan_cache import Stamp

A_TIME, AHEAD = 8, 4  # scans that are looked at in one go, and goes that are asked for at once


def codes_on(folder: Path, scans: Sequence[str]) -> list[CodeSeen]:
    """What is seen on each of these scans, as `look_for_codes` says it."""
    # it loads numpy, which the desk's own process does without
    from tagger.imaging.survey.divider_codes import look_for_codes

    return look_for_codes(folder, scans)


def can_look() -> bool:
    """Whether the library is installed that reads codes."""
    return find_spec("zxingcpp") is not None


class DividerCodes:
    """The codes on one folder's scans; each scan is looked at once, and again when its file is
    another."""

    def __init__(self, folder: Path, cache: Path) -> None:
        self._folder, self._cache = folder, CodeCache(cache, folder)
        self._known: dict[str, CodeSeen] = {}

    def of(self, scans: Iterable[str]) -> dict[str, CodeSeen]:
        """What is known of these scans by now."""
        return {scan: self._known[scan] for scan in scans if scan in self._known}

    def look(self, scans: Sequence[str], workers: Workers | None = None) -> Iterator[int]:
        """Look at what is not known; after some scans, how many were looked at. What was seen stays
        when this is left early."""
        self._cache.refresh(self._known, scans)
        todo = [scan for scan in scans if scan not in self._known]
        if not todo or not can_look():
            return
        stamps = {scan: self._cache.stamp(scan) for scan in todo}
        done = 0
        try:
            for some, seen in self._seen(todo, workers):
                self._put(some, seen, stamps)
                done += len(some)
                yield done
        finally:
            self._cache.keep()

    def _seen(
        self, todo: Sequence[str], workers: Workers | None
    ) -> Iterator[tuple[Sequence[str], Sequence[CodeSeen]]]:
        parts = [todo[at : at + A_TIME] for at in range(0, len(todo), A_TIME)]
        if workers is None:
            yield from ((part, codes_on(self._folder, part)) for part in parts)
            return
        asked: deque[tuple[Sequence[str], Future[list[CodeSeen]]]] = deque()
        for part in parts:
            asked.append((part, workers.submit(codes_on, self._folder, part)))
            if len(asked) >= AHEAD:
                first, future = asked.popleft()
                yield first, future.result()
        for first, future in asked:
            yield first, future.result()

    def _put(
        self,
        scans: Sequence[str],
        seen: Sequence[CodeSeen],
        stamps: Mapping[str, Stamp | None],
    ) -> None:
        for scan, one in zip(scans, seen, strict=True):
            self._known[scan] = one
            self._cache.put(scan, one, stamps[scan])


def look_for_dividers(place: LotPlace, scans: Sequence[str]) -> dict[str, CodeSeen]:
    """What is seen of dividers on these scans; a terminal shows how far it is."""
    from tagger.imaging.survey.workers import Workers

    codes = DividerCodes(place.folder, measured_folder())
    workers = Workers() if len(scans) > A_TIME and can_look() else None
    try:
        follow("scans looked at", ((done, len(scans)) for done in codes.look(scans, workers)))
    finally:
        if workers is not None:
            workers.close()
    known = codes.of(scans)
    return {scan: known.get(scan, NONE_SEEN) for scan in scans}
