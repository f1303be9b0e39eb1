"""A card without a name says in the overview why it is set aside, where the line has room."""

from __future__ import annotations

from pathlib import Path

from support.at_work import opened, take

from tagger.core.model.condition import Scale
from tagger.ui.desk.modes.overview_lines import card_lines
from tagger.ui.desk.modes.overview_list import Overview


def test_a_reason_is_whole_where_the_line_has_room(tmp_path: Path) -> None:
    session = opened(tmp_path)
    session.carry("nm at=box 1")
    take(session, "set=87 1")
    session.set_aside("d")
    lines = [line.plain for line in card_lines(Overview(session), 6, 80, Scale())]
    assert "set aside: damaged" in lines[1]
    assert "box 1" in lines[1]
    session.close()
