"""Which pictures a lot is handed over as, and how each side is to stand on them."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace

from tagger.core.audit.measured import Measured
from tagger.core.lot.fields import CardInLot, cards
from tagger.core.lot.lot import LotState
from tagger.core.model.pose import Pose
from tagger.core.model.tags import Mark
from tagger.imaging.scan.render_side import ImageOptions

MADE_AS = "1"  # changes with how a picture is made of a scan
COLUMNS = ("front picture", "back picture")
Sides = tuple[tuple[str, Pose], ...]


@dataclass(frozen=True)
class Picture:
    """A picture to be written: its file's name, the card's position, and the scans with how they
    are to stand; of a joined one the front first. `shows` has the sides' names."""

    file: str
    position: int
    shows: tuple[str, ...]
    sides: Sides

    def digest(self, wish: ImageOptions, stamp: Callable[[str], object]) -> str:
        """What is another one wherever the picture would be: `stamp` tells the states of a scan's
        file apart."""
        told = [(scan, stamp(scan), stand) for scan, stand in self.sides]
        return hashlib.sha256(
            f"{MADE_AS} {wish} {told}".encode("utf-8", "surrogatepass")
        ).hexdigest()


def stands(
    lot: LotState, measured: Mapping[str, Measured], margin: float
) -> Callable[[CardInLot, str], Pose]:
    """What says how a scan of a card is to stand: turned as the dealer said, brightened where it
    was asked for, straight and cropped with `margin` mm around it where the card's edges are
    known."""
    mending = lot.arrangement.mending
    turns = dict(mending.turns)

    def stand(card: CardInLot, scan: str) -> Pose:
        name = card.mark.tags.set
        bright = "*" in mending.levels or (bool(name) and name in mending.levels)
        known = measured.get(scan)
        if known is None or known.corners is None:
            return Pose(turns.get(scan, 0), levels=bright)
        return Pose(turns.get(scan, 0), known.corners, known.dpi, margin, bright)

    return stand


def plan(
    lot: LotState,
    name: Callable[[CardInLot, str], str],
    stand: Callable[[CardInLot, str], Pose],
    joined: bool = False,
) -> Iterator[Picture]:
    """The pictures of all cards in feeding order; a side that is missing has none. `name` gives a
    file's name for a card and a side, the side empty for a picture of both."""
    for card in cards(lot):
        sides = {
            side: scan
            for side, scan in (("front", card.pair.front), ("back", card.pair.back))
            if scan is not None
        }
        shown = {side: (scan, stand(card, scan)) for side, scan in sides.items()}
        if joined and shown:
            yield Picture(name(card, ""), card.position, tuple(shown), tuple(shown.values()))
        elif not joined:
            for side, seen in shown.items():
                yield Picture(name(card, side), card.position, (side,), (seen,))


def with_pictures(lot: LotState, written: Mapping[tuple[int, str], str]) -> LotState:
    """The lot with two further columns, COLUMNS: the names of the pictures by position and side."""
    marks: dict[int, Mark] = {}
    for card in cards(lot):
        named = [
            (column, written.get((card.position, column.split()[0]), "")) for column in COLUMNS
        ]
        others = tuple(
            (key, value) for key, value in card.mark.tags.extra if key.casefold() not in COLUMNS
        )
        marks[card.pair.id] = replace(
            card.mark, tags=replace(card.mark.tags, extra=(*others, *named))
        )
    return LotState(lot.arrangement, marks, lot.cursor, lot.checklists, lot.next_id)
