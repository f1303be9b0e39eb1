"""The fronts of some cards of a lot as small pictures."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from contextlib import closing
from typing import TYPE_CHECKING

from tagger.core.audit.poses import Poses
from tagger.exchange.shown.pictures import plan
from tagger.imaging.scan.render_side import ImageOptions
from tagger.imaging.survey.workers import Workers
from tagger.services.measurements import measure_lot
from tagger.services.output.pictures import MARGIN, rendered

if TYPE_CHECKING:
    from tagger.core.lot.lot import LotState
    from tagger.store.machine.paths import LotPlace

_QUALITY = 85


Wanted = tuple["LotPlace", "LotState", Collection[int]]
"""A lot, and the positions of some of its cards."""


def front_pictures(lots: Iterable[Wanted], longest: int) -> Iterator[tuple[str, int, bytes | str]]:
    """(lot, position, its front as a JPEG file with no side longer than `longest` pixels, or the
    sentence that says why there is none) of the cards that have one."""
    options = ImageOptions(longest, _QUALITY, srgb=True)
    # one pool for all lots: to start it takes longer than a few pictures
    with closing(Workers(busy=True)) as workers:
        for place, lot, positions in lots:
            fronts = [
                pair.front
                for position, pair in enumerate(lot.arrangement.pairs, start=1)
                if position in positions and pair.front
            ]
            poses = Poses(margin=MARGIN / 2)
            poses.learn(measure_lot(place, fronts, workers).of(fronts))
            wanted = [
                one
                for one in plan(lot, lambda card, side: side, poses)
                if one.position in positions and one.file == "front"
            ]
            for one, made in rendered(place.folder, wanted, options, workers):
                yield place.name, one.position, made
