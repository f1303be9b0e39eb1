"""How a scan is to be seen: the same on the desk and in a picture that is handed over."""

from __future__ import annotations

import pytest

from tagger.core.audit.measured import Measured
from tagger.core.audit.poses import Poses
from tagger.core.lot.lot import LotState
from tagger.core.model.arrangement import Arrangement, Fixes, Pair
from tagger.core.model.pose import Pose
from tagger.core.model.tags import Mark, Tags
from tagger.exchange.shown.pictures import plan

CORNERS = ((10.0, 10.0), (700.0, 12.0), (698.0, 990.0), (9.0, 988.0))
KNOWN = {"a.jpg": Measured("whole", corners=CORNERS, dpi=300.0), "b.jpg": Measured("whole")}


@pytest.mark.parametrize("levels", [(), ("*",), ("Gulls",), ("Terns",)])
def test_the_desk_and_a_picture_show_a_scan_alike(levels):
    fixes = Fixes(turns=(("b.jpg", 180), ("a.jpg", 90)), levels=levels)
    arrangement = Arrangement(pairs=(Pair(1, "a.jpg", "b.jpg"),), mending=fixes)
    lot = LotState(arrangement, {1: Mark(tags=Tags(set="Gulls"))})
    desk = Poses(margin=3.0)
    desk.learn(KNOWN)
    (front, back) = plan(lot, lambda card, side: side, desk)
    poses = dict((*front.sides, *back.sides))
    bright = levels in (("*",), ("Gulls",))
    assert poses["a.jpg"] == Pose(90, CORNERS, 300.0, 3.0, bright)
    assert poses["b.jpg"] == Pose(180, levels=bright)
    for scan in arrangement.scans:
        assert desk.of(scan, fixes, "Gulls") == poses[scan]


def test_what_is_measured_while_a_scan_is_shown_is_for_the_next_time():
    desk = Poses()
    desk.hold(["a.jpg"])
    desk.learn(KNOWN)
    assert desk.of("a.jpg", Fixes()) == Pose()
    desk.hold([])
    assert desk.of("a.jpg", Fixes()).corners == CORNERS


def test_cards_are_shown_as_they_lie_where_they_are_not_cropped():
    desk = Poses(crop=False)
    desk.learn(KNOWN)
    assert desk.of("a.jpg", Fixes(turns=(("a.jpg", 270),))) == Pose(270)
