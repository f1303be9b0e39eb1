"""What F4 would make is told in lines of the panel's width, with the question behind its set."""

from __future__ import annotations

import pytest

from tagger.core.model.tags import Tags
from tagger.core.session.unlisted_card import UnlistedCard
from tagger.ui.desk.modes.unlisted_lines import first_of, told_of
from tagger.ui.keys import Keymap


@pytest.mark.parametrize("width", range(24, 60))
def test_no_line_is_wider_than_the_panel(width: int) -> None:
    tags = Tags("Nebelmark – Erste Auflage (2019)", "20", "Hal", condition="Near Mint")
    made = UnlistedCard(tags, "It may be of another set.")
    lines = told_of(made, Keymap(), width)
    assert max(line.cell_len for line in lines) <= width
    assert " ".join(" ".join(line.plain for line in lines).split()).endswith("(2019) set?")


def test_the_one_line_that_there_is_room_for_says_that_more_follows() -> None:
    tags = Tags("Nebelmark – Erste Auflage (2019)", "20", "Hal", condition="Near Mint")
    told = told_of(UnlistedCard(tags, ""), Keymap(), 40)
    first = first_of(told, 40)
    assert len(told) > 2
    assert first.plain.endswith("…")
    assert first.cell_len <= 40
