"""The price of a card in the overview: whole, or not there."""

from __future__ import annotations

import pytest

from tagger.core.model.tags import Tags
from tagger.ui.desk.modes.overview_lines import cells, columns

CARDS = tuple(
    cells(Tags("1987 Harbor Light", "23", "Ada Marsh", place="box 7, row 2", price=price), "")
    for price in ("1,234.50 EUR", "3.50", "")
)


@pytest.mark.parametrize(("width", "room"), [(120, 12), (80, 12), (60, 0), (40, 0)])
def test_a_price_is_there_whole_or_not_at_all(width: int, room: int) -> None:
    widths = columns(CARDS, width, 400)
    assert widths.shares.price == room
    if room:
        assert sum(widths.shares) + 3 + 11 + 1 <= width
    assert columns(CARDS[2:], width, 400).shares.price == 0
