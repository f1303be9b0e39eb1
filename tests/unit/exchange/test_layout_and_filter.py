"""The cards of `[only]` in a layout, and those of the same words in a filter: one meaning."""

from __future__ import annotations

import pytest

from tagger.core.lot.fields import cards
from tagger.core.lot.lot import LotState
from tagger.core.model.arrangement import Arrangement, Pair
from tagger.core.model.condition import Scale
from tagger.core.model.tags import Mark, State, Tags
from tagger.core.model.trade import Trade
from tagger.core.overview.doubles import Doubles
from tagger.core.overview.selection import read_filter, select
from tagger.exchange.layout.layout import read_layout
from tagger.exchange.rows import RowCount, laid_out

BASE = Tags("Harbor", "24", "Bo Lund")
MARKS = (
    Mark(State.TAGGED, Tags("Harbor", "23", "Ada Marsh", parallel="Gold")),
    Mark(State.TAGGED, BASE, trade=Trade(listed="stall")),
    Mark(State.TAGGED, BASE, trade=Trade(reserved="ann")),
    Mark(State.TAGGED, BASE, gone="sold"),
    Mark(State.SET_ASIDE, reason="bent"),
    Mark(),
)
LOT = LotState(
    Arrangement(pairs=tuple(Pair(id, f"{id}f.jpg", f"{id}b.jpg") for id in range(1, 7))),
    dict(enumerate(MARKS, 1)),
)


@pytest.mark.parametrize(
    ("only", "typed", "positions"),
    [
        ('parallel = "base"', "base", [2, 3]),
        ('parallel = ["base", "Gold"]', "", [1, 2, 3]),
        ('condition = ""', "condition=", [1, 2, 3, 5]),
        ('place = ""', "at=", [1, 2, 3, 5]),
        ('note = ""', "note=", [1, 2, 3, 5]),
        ('state = "tagged"', "tagged", [1, 2, 3]),
        ('state = "listed"', "listed", [2]),
        ('state = "reserved"', "reserved", [3]),
        ('state = "sold"', "sold", [4]),
        ('state = "untagged"', "untagged", [6]),
        ('state = "set aside"', "aside", [5]),
    ],
)
def test_a_layout_and_a_filter_mean_the_same_cards(only, typed, positions):
    layout = read_layout(f'[only]\n{only}\n[[column]]\ntext = "{{position}}"'.encode(), "shop.toml")
    assert [at for (at,) in laid_out(LOT, "box 12", layout, RowCount()).rows] == positions
    if typed:
        wanted = read_filter(typed, Scale())
        there = [card for card in cards(LOT) if wanted.gone or card.is_there]
        assert select(there, wanted, Doubles(there)) == positions


def test_a_state_that_no_card_has_is_no_slip_in_another_one():
    layout = b'[only]\nstate = "untagged"\n[[column]]\ntext = "{position}"'
    lot, count = LotState(LOT.arrangement, dict.fromkeys(range(1, 7), MARKS[0])), RowCount()
    assert list(laid_out(lot, "box 12", read_layout(layout, "shop.toml"), count).rows) == []
    assert count.notes == []
