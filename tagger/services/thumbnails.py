"""The cards of a lot as small pictures, made in two processes, for contact sheets and the page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from concurrent.futures import BrokenExecutor
from contextlib import ExitStack
from itertools import groupby

from tagger.core.audit.measured import Measured
from tagger.core.lot.lot import LotState
from tagger.errors import LotError
from tagger.exchange.shown.pictures import Picture, plan, poses
from tagger.imaging.scan.render_side import ImageOptions
from tagger.imaging.survey.workers import Workers
from tagger.services.console import tell
from tagger.services.pictures import MARGIN, TOLD, made, measure_lot
from tagger.services.progress import Progress
from tagger.store.machine.paths import LotPlace

_MARGIN = MARGIN / 2  # mm: what is small has no room for much of the bed


class Thumbnails:
    """Made when it is entered: its processes, and what is measured of the lot's scans (`measured`).
    A picture has no side longer than `longest` pixels and is sRGB."""

    def __init__(self, place: LotPlace, lot: LotState, longest: int, quality: int = 85) -> None:
        self._place, self._lot = place, lot
        self._wish = ImageOptions(longest, quality, srgb=True)
        self._ends = ExitStack()
        self._missing: list[str] = []
        self.measured: dict[str, Measured] = {}

    def __enter__(self) -> Thumbnails:
        self._workers = Workers(busy=True)
        self._ends.callback(self._workers.close)
        scans = [
            scan for pair in self._lot.arrangement.pairs for scan in pair[1:] if scan is not None
        ]
        try:
            self.measured = measure_lot(self._place, scans, self._workers).of(scans)
        except BaseException:
            self._ends.close()
            raise
        return self

    def __exit__(self, *_: object) -> None:
        self._ends.close()

    def by_card(self) -> Iterator[dict[str, bytes]]:
        """For each card in feeding order its sides as JPEG files; one that cannot be shown is
        missing.

        Raises LotError where a process ended at work.
        """
        try:
            yield from self._by_card()
        except BrokenExecutor:
            raise LotError(
                "A process ended at work; is there memory enough? Try the same command again."
            ) from None

    def _by_card(self) -> Iterator[dict[str, bytes]]:
        pictures = list(
            plan(self._lot, lambda card, side: side, poses(self._lot, self.measured, _MARGIN))
        )
        with Progress("pictures drawn", len(pictures)) as progress:
            yield from self._drawn(pictures, progress)

    def _drawn(self, pictures: Sequence[Picture], progress: Progress) -> Iterator[dict[str, bytes]]:
        done = enumerate(made(self._place.folder, pictures, self._wish, self._workers), start=1)
        at = 0
        for position, sides in groupby(done, key=lambda one: one[1][0].position):
            yield from ({} for _ in range(at, position - 1))
            at = position
            found: dict[str, bytes] = {}
            for count, (picture, data) in sides:
                if isinstance(data, str):
                    self._missing.append(f"card {position}: {data}")
                else:
                    found[picture.file] = data
                progress.at(count)
            yield found
        yield from ({} for _ in range(at, self._lot.cards))

    def tell_missing(self) -> bool:
        """Say which pictures could not be made; whether there are any."""
        for sentence in self._missing[:TOLD]:
            tell(sentence)
        if len(self._missing) > TOLD:
            tell(f"{len(self._missing) - TOLD} more pictures could not be made.")
        return bool(self._missing)
