"""Where the loupe is held by itself: over the place where the number of a card may stand."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from tagger.core.audit.number_place import NumberPlace, NumberSpot
from tagger.core.audit.poses import MARGIN
from tagger.core.session.loupes.loupe import Loupe, Pane, Proposed

if TYPE_CHECKING:
    from tagger.core.audit.measured import Measured
    from tagger.core.model.pose import Corners4, Pose

CARD = (63.5, 88.9)  # mm, 2.5 x 3.5 in: common practice
NEAR = 0.004  # of a side: as good as the same place


class NumberPlaces:
    """The places that are known so far, by the scan that they are on."""

    def __init__(self) -> None:
        self._places: dict[str, NumberPlace] = {}

    def learn(self, places: Mapping[str, NumberPlace]) -> None:
        """These are known now."""
        self._places.update(places)

    def loupes(
        self,
        scans: Mapping[str, str | None],
        pose: Callable[[str], Pose],
        known: Callable[[str], Measured | None],
        pane: Pane,
    ) -> tuple[int, list[Loupe]] | None:
        """The design of a card with these scans, and the loupe over each place on its back, or else
        on its front, the likeliest first, as `pose` shows them; None where none is known."""
        for side in ("back", "front"):
            scan = scans[side]
            place = None if scan is None else self._places.get(scan)
            if scan is not None and place is not None and place.spots:
                spots = [shown_spot(spot, pose(scan), known(scan)) for spot in place.spots]
                return place.design, [
                    Loupe(side, one.x, one.y).holding(one.width, one.height, pane) for one in spots
                ]
        return None


def proposed(loupes: tuple[int, list[Loupe]] | None) -> Proposed | None:
    """The likeliest of them."""
    return None if loupes is None else Proposed(loupes[0], loupes[1][0])


def next_of(loupe: Loupe, loupes: list[Loupe]) -> Loupe:
    """The place after the one that the loupe is at; the first where it is at none."""
    here = [at for at, other in enumerate(loupes) if _same(loupe, other)]
    return loupes[(here[0] + 1) % len(loupes)] if here else loupes[0]


def _same(one: Loupe, other: Loupe) -> bool:
    near = abs(one.x - other.x) < NEAR and abs(one.y - other.y) < NEAR
    return near and one.side == other.side


def shown_spot(spot: NumberSpot, pose: Pose, known: Measured | None) -> NumberSpot:
    """A place as fractions of what a pose shows of the scan."""
    # Without the card's corners a place on it cannot be moved onto the scan; the place as it was
    # found is off by the bed around the card at most.
    if known is None or known.corners is None:
        return spot
    quarter = pose.turn in (90, 270)
    across, down = CARD
    if known.sideways != quarter:
        across, down = down, across
    # Places were measured on the card cropped with MARGIN around it, whatever margin the dealer set
    # since.
    wide, high = across + 2 * MARGIN, down + 2 * MARGIN
    x, y = (spot.x * wide - MARGIN) / across, (spot.y * high - MARGIN) / down
    card = NumberSpot(x, y, spot.width * wide / across, spot.height * high / down)
    if pose.corners is not None:
        return _with_margin(card, across, down, pose.margin)
    return _on_scan(card, known.corners, known.size, pose.turn)


def _with_margin(card: NumberSpot, across: float, down: float, margin: float) -> NumberSpot:
    wide, high = across + 2 * margin, down + 2 * margin
    return NumberSpot(
        (card.x * across + margin) / wide,
        (card.y * down + margin) / high,
        card.width * across / wide,
        card.height * down / high,
    )


def _on_scan(card: NumberSpot, corners: Corners4, size: tuple[int, int], turn: int) -> NumberSpot:
    """The same where the whole scan is shown, turned by so much."""
    if min(size) < 1:
        return card
    # Corners are those of the scan as it lies in the file, the place is one of the scan as it is
    # shown.
    x, y = turned(card.x, card.y, -turn)
    a, b, _, d = corners
    left = a[0] + (b[0] - a[0]) * x + (d[0] - a[0]) * y
    top = a[1] + (b[1] - a[1]) * x + (d[1] - a[1]) * y
    shown = turned(left / size[0], top / size[1], turn)
    parts = abs(b[0] - a[0]) / size[0], abs(d[1] - a[1]) / size[1]
    if turn in (90, 270):
        parts = parts[1], parts[0]
    return NumberSpot(*shown, card.width * parts[0], card.height * parts[1])


def turned(x: float, y: float, turn: int) -> tuple[float, float]:
    """A point, fractions of a picture, after the picture is turned clockwise by so many degrees."""
    for _ in range(turn % 360 // 90):
        x, y = 1 - y, x
    return x, y
