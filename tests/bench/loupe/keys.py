"""How many keys a dealer needs who sees on the preview where the number is and where the loupe is:
the fewest of Home (the next likely place), End (the next corner) and half steps."""

from __future__ import annotations

import math
from collections.abc import Sequence

from tagger.core.audit.number_place import NumberSpot
from tagger.core.session.loupes.loupe import Loupe, Pane
from tagger.ui.desk.layout import lay_out
from tagger.ui.desk.looking import STEP

Box = tuple[float, float, float, float]
ASPECT = 67.5 / 92.9  # of a card with its margin
SIZES = ((80, 24), (120, 40))


def pane_of(columns: int, rows: int) -> Pane:
    """The loupe's room on a screen of this size."""
    layout = lay_out(columns, rows, "both")
    sides = 2 if layout.face == "both" else 1
    across = layout.preview * sides if layout.below else columns - layout.preview * sides
    return Pane(across - 1, (layout.loupe_rows - 1) * 2, ASPECT)


def keys_needed(spots: Sequence[NumberSpot], number: Box, pane: Pane) -> int:
    """The fewest keys until the loupe shows the number."""
    places = [
        Loupe("back", spot.x, spot.y).holding(spot.width, spot.height, pane) for spot in spots
    ] or [Loupe()]
    corners = [places[0].in_next_corner(pane)]
    for _ in range(3):
        corners.append(corners[-1].in_next_corner(pane))
    starts = [*enumerate(places), *enumerate(corners, start=1)]
    return min(pressed + steps_to(loupe, number, pane) for pressed, loupe in starts)


def steps_to(loupe: Loupe, number: Box, pane: Pane) -> int:
    """Half steps from a loupe until it shows a box."""
    left, top, right, lower = loupe.frame(pane)
    across, down = (right - left) * STEP, (lower - top) * STEP
    return _steps(left, right, number[0], number[2], across) + _steps(
        top, lower, number[1], number[3], down
    )


def _steps(start: float, end: float, first: float, last: float, step: float) -> int:
    """Along one axis; a hair more than the window is still seen."""
    room = end - start - (last - first)
    slack = max(0.0, -room) / 2 + 0.1 * (last - first)
    if first < start - slack:
        return math.ceil((start - slack - first) / step)
    return math.ceil(max(0.0, last - end - slack) / step)
