"""The price of a card in the overview: whole, or not there; and that of today's list."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest
from support.listed import listed_lot

from tagger.core.checklist.files import parse_checklist
from tagger.core.index.index import Index
from tagger.core.matching.matcher import Matcher
from tagger.core.model.tags import Tags
from tagger.core.session.session import Session
from tagger.store.lot.lot_file import LotFile
from tagger.ui.desk.modes.overview_lines import card_lines, cells, columns
from tagger.ui.desk.modes.overview_list import Overview
from tagger.ui.desk.panel import panel
from tagger.ui.keys import Keymap

LIST = "set,number,subject,price\n1987 Harbor Light,1,Ada Marsh,1.00\n1987 Harbor Light,2,Bo,{}\n"

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


def test_a_price_that_the_list_has_changed_since_is_shown_filtered_and_warned_of(
    tmp_path: Path,
) -> None:
    place = listed_lot(tmp_path, LIST.format("1.50"), 3, ["1", "2"])
    session = Session(LotFile(place.home, place.name), closer_look=Decimal(5))
    later = parse_checklist(LIST.format("9.00").encode(), "harbor.csv", "harbor")
    session.candidates.matcher = Matcher(Index(later))
    overview = Overview(session)
    shown = [line.plain for line in card_lines(overview, 3, 120, session.scale)]
    assert ["1.00" in shown[0], "9.00" in shown[1], "1.50" in shown[1]] == [True, True, False]
    overview.narrow("over 5")
    assert list(overview.list) == [2]
    assert session.review.warnings(2, overview.cards[1].mark.tags) == (
        "worth a closer look: price 9.00",
    )
    session.go(2)
    told = "\n".join(
        line.plain for line in panel(session, session.proposals.of("", 0, None), Keymap(), 50, 30)
    )
    assert "price: 9.00 (list)" in told
    # what was tagged stays as it was tagged
    assert overview.cards[1].mark.tags.extra == (("price", "1.50"),)
    session.close()
