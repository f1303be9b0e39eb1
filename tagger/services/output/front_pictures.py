"""The fronts of some cards of a lot as small pictures."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from contextlib import closing
from typing import TYPE_CHECKING

from tagger.core.audit.poses import Poses
from tagger.exchange.shown.pictures import Picture, plan
from tagger.imaging.scan.render_side import ImageOptions
from tagger.imaging.survey.workers import Workers
from tagger.services.output.pictures import MARGIN
from tagger.services.output.rendering import render, rendered
from tagger.services.scans.measurements import measure_lot

if TYPE_CHECKING:
    from tagger.core.lot.lot import LotState
    from tagger.store.machine.paths import LotPlace

_QUALITY = 85


FEW = 12  # pictures that are drawn in this process: others take longer to start
Wanted = tuple["LotPlace", "LotState", Collection[int]]
"""A lot, and the positions of some of its cards."""


def front_pictures(
    lots: Sequence[Wanted], longest: int
) -> Iterator[tuple[LotPlace, int, bytes | str]]:
    """(lot, position, its front as a JPEG file with no side longer than `longest` pixels, or the
    sentence that says why there is none) of the cards that have one."""
    options = ImageOptions(longest, _QUALITY, srgb=True)
    if sum(len(positions) for *_, positions in lots) <= FEW:
        for place, lot, positions in lots:
            for one in _fronts(place, lot, positions, None):
                yield place, one.position, render(place.folder, one.sides, options)
        return
    # one pool for all lots
    with closing(Workers(busy=True)) as workers:
        for place, lot, positions in lots:
            todo = _fronts(place, lot, positions, workers)
            for one, made in rendered(place.folder, todo, options, workers):
                yield place, one.position, made


def _fronts(
    place: LotPlace, lot: LotState, positions: Collection[int], workers: Workers | None
) -> list[Picture]:
    """The fronts of some cards, as they are to stand."""
    scans = [
        pair.front
        for position, pair in enumerate(lot.arrangement.pairs, start=1)
        if position in positions and pair.front
    ]
    poses = Poses(margin=MARGIN / 2)
    poses.learn(measure_lot(place, scans, workers).of(scans))
    return [
        one
        for one in plan(lot, lambda card, side: side, poses)
        if one.position in positions and one.file == "front"
    ]
