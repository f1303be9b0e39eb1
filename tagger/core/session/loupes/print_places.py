"""Where print was read, as a card is shown: framed on the preview, and under the loupe."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from tagger.core.session.loupes.loupe import Loupe, Pane
from tagger.core.session.loupes.loupe_places import CARD, turned

if TYPE_CHECKING:
    from tagger.core.audit.measured import Measured
    from tagger.core.model.pose import Point, Pose
    from tagger.core.reading.printed import Box, Spot

AROUND = 0.012  # of a side that is left free around print, so that a frame does not lie on it


def shown_box(box: Box, pose: Pose, known: Measured | None) -> Box:
    """A place on the scan, turned as the dealer said, as fractions of what a pose shows of it."""
    if pose.corners is None or known is None or min(known.size) < 1:
        return box
    ends = (
        _on_card(turned(x, y, -pose.turn), pose, known.size)
        for x, y in ((box.left, box.top), (box.right, box.bottom))
    )
    from tagger.core.reading.printed import Box

    (x1, y1), (x2, y2) = (_with_margin(end, pose) for end in ends)
    straight = Box(min(x1, x2), min(y1, y2), max(x1, x2), max(y1, y2))
    return turned_box(straight, pose.turn)


def turned_box(box: Box, turn: int) -> Box:
    """A place on a picture after the picture is turned clockwise by so many degrees."""
    from tagger.core.reading.printed import Box

    x1, y1 = turned(box.left, box.top, turn)
    x2, y2 = turned(box.right, box.bottom, turn)
    return Box(min(x1, x2), min(y1, y2), max(x1, x2), max(y1, y2))


def _on_card(at: Point, pose: Pose, size: tuple[int, int]) -> Point:
    """A point of the scan, as shares of the card's sides."""
    assert pose.corners is not None
    a, b, _, d = pose.corners
    across, down = (b[0] - a[0], b[1] - a[1]), (d[0] - a[0], d[1] - a[1])
    x, y = at[0] * size[0] - a[0], at[1] * size[1] - a[1]
    # Cramer's rule for the two sides of the card; 0 where the corners lie on one line, as in a
    # cache that was damaged.
    whole = across[0] * down[1] - across[1] * down[0]
    if not whole:
        return at
    return (x * down[1] - y * down[0]) / whole, (y * across[0] - x * across[1]) / whole


def _with_margin(at: Point, pose: Pose) -> Point:
    """The same with what is shown around the card."""
    assert pose.corners is not None
    a, b, _, d = pose.corners
    sides = math.dist(a, b), math.dist(a, d)
    if pose.dpi:
        mm = [side / pose.dpi * 25.4 for side in sides]
    else:
        # Without dots per inch the card is taken to be of the usual size, lying as its longer side
        # says.
        mm = sorted(CARD, reverse=sides[0] > sides[1])
    x, y = (
        (share * side + pose.margin) / (side + 2 * pose.margin)
        for share, side in zip(at, mm, strict=True)
    )
    return x, y


def around(box: Box) -> Box:
    """The place with a little room around it."""
    from tagger.core.reading.printed import Box

    return Box(
        max(0.0, box.left - AROUND),
        max(0.0, box.top - AROUND),
        min(1.0, box.right + AROUND),
        min(1.0, box.bottom + AROUND),
    )


def loupe_over(spot: Spot, pane: Pane) -> Loupe:
    """The loupe over a place, given as it is shown."""
    left, top, right, bottom = spot.box
    loupe = Loupe(spot.side, (left + right) / 2, (top + bottom) / 2)
    return loupe.holding(right - left, bottom - top, pane)
