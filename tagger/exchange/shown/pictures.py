"""Which pictures a lot is handed over as, how each side is to stand on them, and their columns in a
table."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Container, Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tagger.core.lot.fields import CardInLot, cards
from tagger.core.model.pose import Pose

if TYPE_CHECKING:
    from tagger.core.audit.poses import Poses
    from tagger.core.lot.lot import LotState
    from tagger.imaging.scan.render_side import ImageOptions

MADE_AS = "3"  # changes with how a picture is made of a scan
SIDES = ("front", "back")
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
        sides = [(scan, stamp(scan), pose) for scan, pose in self.sides]
        # A scan's name may have bytes in it that are no UTF-8.
        made_of = f"{MADE_AS} {wish} {sides}".encode("utf-8", "surrogatepass")
        return hashlib.sha256(made_of).hexdigest()


def plan(
    lot: LotState,
    name: Callable[[CardInLot, str], str],
    poses: Poses,
    joined: bool = False,
    every: bool = True,
    only: Container[int] | None = None,
) -> Iterator[Picture]:
    """The pictures of all cards in feeding order; a side that is missing has none. `name` gives a
    file's name for a card and a side, the side empty for a picture of both. Without `every` those
    that were sold or pulled are left out; `only` are the positions that are meant, None for all."""
    fixes = lot.arrangement.mending
    # who names positions means those cards whatever became of them
    for card in cards(lot, every or only is not None):
        if only is not None and card.position not in only:
            continue
        seen = {
            side: (scan, poses.of(scan, fixes, card.mark.tags.set))
            for side, scan in zip(SIDES, card.pair.sides, strict=True)
            if scan is not None
        }
        if not joined:
            for side, shown in seen.items():
                yield Picture(name(card, side), card.position, (side,), (shown,))
        elif seen:
            yield Picture(name(card, ""), card.position, tuple(seen), tuple(seen.values()))


def picture_columns(
    written: Mapping[tuple[int, str], str],
) -> Mapping[str, Callable[[CardInLot], str]]:
    """Two further columns of a table: the names of the pictures, which `written` has by position
    and side."""

    def of_side(side: str) -> Callable[[CardInLot], str]:
        return lambda card: written.get((card.position, side), "")

    return {f"{side} picture": of_side(side) for side in SIDES}
