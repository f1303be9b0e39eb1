"""What F5 takes out of a hint: what is carried from then on; the words of the card stay typed."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from support.at_work import LIGHT, opened, take

from tagger.core.session.session import Session
from tagger.errors import Refused


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Session]:
    session = opened(tmp_path)
    take(session, "set=87 1")
    yield session
    session.close()


@pytest.mark.parametrize(
    ("hint", "rest", "carried"),
    [
        ("bo lund at=box 2", "bo lund", {"place": "box 2"}),
        ("2 gold at=box 2", "2", {"parallel": "Gold", "place": "box 2"}),
        ("2g nm", "2", {"parallel": "Gold", "condition": "Near Mint"}),
        ("gold near mint 2", "2", {"parallel": "Gold", "condition": "Near Mint"}),
        ("2 12/99", "2 12/99", {"parallel": "Gold"}),
        ("2 /99", "2", {"parallel": "Gold"}),
        ("name=bo_lund ex", "name=bo_lund", {"condition": "Excellent"}),
        ("zzqx at=box 2", "zzqx", {"place": "box 2"}),
        ("gulls note=x", "gulls", {"note": "x"}),
        ("gold at=box 2", "", {"parallel": "Gold", "place": "box 2"}),
    ],
)
def test_what_names_the_card_stays_typed(desk, hint, rest, carried):
    _, left = desk.carry_off(hint)
    assert left == rest
    assert dict(desk.view.cursor.carried.pairs) == {"set": LIGHT, **carried}


@pytest.mark.parametrize("hint", ["bo lund", "2", "#2", "gulls", "next=3 bo lund", "zzqx"])
def test_a_card_alone_is_not_carried(desk, hint):
    before = desk.view.cursor
    with pytest.raises(Refused):
        desk.carry_off(hint)
    assert desk.view.cursor == before


def test_the_words_of_the_card_stay_in_a_stretch(desk):
    said, left = desk.carry_off("bo lund next=2 gold")
    assert said == "Carrying for the next 2 cards: parallel Gold."
    assert left == "bo lund"
    take(desk, left)
    assert desk.view.card_at(2).mark.tags.variant == "Gold"
    assert desk.view.card_at(2).mark.tags.subject == "Bo Lund"
