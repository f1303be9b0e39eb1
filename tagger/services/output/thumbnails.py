"""The cards of a lot as small pictures, made in two processes, for contact sheets and the page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from concurrent.futures import BrokenExecutor
from itertools import groupby
from typing import TYPE_CHECKING

from tagger.core.audit.poses import Poses
from tagger.core.lot.fields import cards
from tagger.errors import LotError
from tagger.exchange.shown.pictures import Picture, plan
from tagger.imaging.scan.render_side import ImageOptions
from tagger.imaging.survey.workers import Workers
from tagger.services.console import complain_first
from tagger.services.output.pictures import MARGIN, TOLD
from tagger.services.output.rendering import rendered
from tagger.services.progress import Progress
from tagger.services.scans.measurements import measure_lot

if TYPE_CHECKING:
    from tagger.core.audit.measured import Measured
    from tagger.core.lot.lot import LotState
    from tagger.store.machine.paths import LotPlace

QUALITY = 85  # of a JPEG file
_MARGIN = MARGIN / 2  # mm: what is small has no room for much of the bed


_NONE: tuple[int, Iterator[tuple[Picture, bytes]]] = (0, iter(()))


class Thumbnails:
    """Measured when it is entered: `measured` has what is known of the lot's scans. A picture has
    no side longer than `longest` pixels and is sRGB. `cards` are those that are shown: with `every`
    also what was sold or pulled."""

    def __init__(
        self,
        place: LotPlace,
        lot: LotState,
        longest: int,
        quality: int = QUALITY,
        every: bool = False,
    ) -> None:
        self.cards = list(cards(lot, every))
        self._every = every
        self._place, self._lot = place, lot
        self._options = ImageOptions(longest, quality, srgb=True)
        self._workers = Workers(busy=True)
        self._poses = Poses(margin=_MARGIN)
        self.measured: dict[str, Measured] = {}
        self.missing: list[str] = []

    def __enter__(self) -> Thumbnails:
        scans = self._lot.arrangement.scans
        try:
            self.measured = measure_lot(self._place, scans, self._workers).of(scans)
        # Python calls no __exit__ where __enter__ raises.
        except BaseException:
            self._workers.close()
            raise
        self._poses.learn(self.measured)
        return self

    def __exit__(self, *_: object) -> None:
        self._workers.close()

    def by_card(self) -> Iterator[dict[str, bytes]]:
        """For each of the cards its sides as JPEG files; one that cannot be shown is
        missing, and `missing` says why.

        Raises LotError where a process ended at work.
        """
        try:
            yield from self._by_card()
        except BrokenExecutor:
            raise LotError(
                "A worker process died (out of memory?). Run the same command again."
            ) from None

    def _by_card(self) -> Iterator[dict[str, bytes]]:
        name = "{1}".format  # a picture is called by its side
        pictures = list(plan(self._lot, name, self._poses, every=self._every))
        with Progress("pictures drawn") as progress:
            done = self._rendered(pictures, progress)
            drawn = groupby(done, key=lambda one: one[0].position)
            position, sides = next(drawn, _NONE)
            for card in self.cards:
                # A card without any scan has no picture in the plan.
                if card.position != position:
                    yield {}
                    continue
                yield {picture.file: data for picture, data in sides if data}
                position, sides = next(drawn, _NONE)

    def _rendered(
        self, pictures: Sequence[Picture], progress: Progress
    ) -> Iterator[tuple[Picture, bytes]]:
        """Each picture with the bytes of its file; none where it cannot be made."""
        done = rendered(self._place.folder, pictures, self._options, self._workers)
        for count, (picture, data) in enumerate(done, start=1):
            if isinstance(data, str):
                self.missing.append(f"card {picture.position}: {data}")
                data = b""
            progress.at(count, len(pictures))
            yield picture, data

    def tell_missing(self) -> None:
        """Say which pictures could not be made."""
        complain_first(
            self.missing,
            TOLD,
            "more picture could not be made",
            "more pictures could not be made",
        )
