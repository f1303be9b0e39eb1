"""Where print was read, as the card is shown: straight with its margin, turned, as it lies."""

from __future__ import annotations

import math

import pytest

from tagger.core.audit.measured import Measured
from tagger.core.model.pose import Pose
from tagger.core.reading.printed import Box, Spot
from tagger.core.session.loupes.loupe import Pane
from tagger.core.session.loupes.print_places import loupe_over, shown_box

# a scan of 1000 x 1200 pixels at 200 dpi, the card askew in it
CORNERS = ((130.0, 100.0), (630.0, 110.0), (616.0, 810.0), (116.0, 800.0))
KNOWN = Measured("whole", corners=CORNERS, dpi=200.0, size=(1000, 1200))
CARD_MM = (63.5, 88.9)


def on_scan(u: float, v: float) -> tuple[float, float]:
    """A point of the card, by shares of its sides, as a share of the scan."""
    a, b, _, d = CORNERS
    x = a[0] + u * (b[0] - a[0]) + v * (d[0] - a[0])
    y = a[1] + u * (b[1] - a[1]) + v * (d[1] - a[1])
    return x / 1000, y / 1200


def turned(x: float, y: float, turn: int) -> tuple[float, float]:
    return {0: (x, y), 90: (1 - y, x), 180: (1 - x, 1 - y), 270: (y, 1 - x)}[turn]


@pytest.mark.parametrize("turn", [0, 90, 180, 270])
def test_a_place_on_the_scan_is_where_the_straight_card_shows_it(turn):
    one, other = on_scan(0.7, 0.8), on_scan(0.9, 0.9)
    ends = [turned(*one, turn), turned(*other, turn)]
    box = Box(
        min(x for x, _ in ends), min(y for _, y in ends),
        max(x for x, _ in ends), max(y for _, y in ends),
    )  # fmt: skip
    pose = Pose(turn, CORNERS, 200.0, 2.0)
    found = shown_box(box, pose, KNOWN)
    sides = [math.dist(CORNERS[0], CORNERS[at]) / 200 * 25.4 for at in (1, 3)]
    wanted = []
    for u, v in ((0.7, 0.8), (0.9, 0.9)):
        across, down = ((s * mm + 2) / (mm + 4) for s, mm in zip((u, v), sides, strict=True))
        wanted.append(turned(across, down, turn))
    middle = [(a + b) / 2 for a, b in zip(*wanted, strict=True)]
    assert (found.left + found.right) / 2 == pytest.approx(middle[0], abs=0.003)
    assert (found.top + found.bottom) / 2 == pytest.approx(middle[1], abs=0.003)


def test_where_the_scan_is_shown_as_it_lies_the_place_is_as_it_was_read():
    box = Box(0.1, 0.2, 0.3, 0.4)
    assert shown_box(box, Pose(90), KNOWN) == box
    assert shown_box(box, Pose(0, CORNERS, 200.0), None) == box


def test_the_loupe_holds_all_of_the_place():
    loupe = loupe_over(Spot("back", Box(0.5, 0.05, 0.8, 0.1)), Pane(40, 16))
    left, top, right, bottom = loupe.frame(Pane(40, 16))
    assert loupe.side == "back"
    assert left <= 0.5
    assert right >= 0.8
    assert top <= 0.05
    assert bottom >= 0.1
