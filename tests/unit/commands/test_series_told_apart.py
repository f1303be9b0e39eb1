"""Two series of a set that share numbers and names: told apart wherever a card's row is asked for,
and not at the desk alone."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from support.at_work import opened
from support.shop import lot_of

from tagger.cli import main
from tagger.config import Settings
from tagger.core.checklist.files import parse_checklist
from tagger.core.index.index import Index
from tagger.core.lot.fields import cards
from tagger.core.matching.matcher import Matcher
from tagger.core.model.tags import Tags
from tagger.core.overview.bulk import Lists, plan_tags
from tagger.core.overview.bulk_change import read_change
from tagger.core.session.session import Session
from tagger.services.opening import change
from tagger.store.machine.paths import lot_place

LIST = """set,number,subject,suit,price,parallels
Tidewater,7,Seven,Bells,1.00,
Tidewater,7,Seven,Crowns,9.00,Gold /9
Moor,7,Seven,Bells,,
Moor,7,Seven,Crowns,,Gold /9
Heath,7,Seven,Bells,,
"""
CROWNS = (("suit", "Crowns"), ("price", "9.00"))


@pytest.fixture
def lot(tmp_path: Path) -> Path:
    """A lot of two Crowns, with the list that has Bells before them."""
    listed = tmp_path / "list.csv"
    listed.write_text(LIST)
    folder = lot_of(tmp_path / "box 12", [Tags("Tidewater", "7", "Seven", extra=CROWNS)] * 2)
    with change(lot_place(folder, None), Settings()) as session:
        session.take_in(sorted(one.name for one in folder.glob("*.jpg")), [str(listed)])
    return folder


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Session]:
    session = opened(tmp_path)
    session.candidates.matcher = Matcher(Index(parse_checklist(LIST.encode(), "l.csv", "l")))
    session.accept("crowns 7 tidewater")
    session.go(1)
    yield session
    session.close()


def said(capsys: pytest.CaptureFixture[str], *arguments: object) -> str:
    capsys.readouterr()
    main([str(one) for one in arguments])
    return capsys.readouterr().out


def planned(session: Session, typed: str) -> tuple[str, list[Tags]]:
    index = session.candidates.matcher.index
    lists, chosen = Lists(index), list(cards(session.view))[:1]
    parallels = lists.parallels(chosen)
    wanted = read_change(typed, session.scale, index, parallels, session.view.sets())
    plan = plan_tags(chosen, wanted, lists)
    return plan.told, [marking.after.tags for marking in plan.markings]


def test_value_and_sets_ask_the_row_of_the_cards_own_series(lot, capsys):
    assert said(capsys, "value", lot).startswith("Estimate: 18.00 for 2 cards")
    told = said(capsys, "sets", lot, "--set", "tide")
    assert "missing base cards of Bells: 7" in told
    assert "2 copies: #7 Seven, Crowns, base" in told
    assert "Tidewater  #7 Seven, Bells\n" in said(capsys, "sets", lot, "--wants")


@pytest.mark.parametrize("words", ["crowns 7", "7 crowns", "seven crowns"])
def test_a_card_is_found_by_its_series(lot, capsys, words):
    told = said(capsys, "find", *words.split())
    assert told.startswith("Tidewater  #7 Seven, Crowns\n")
    assert said(capsys, "find", *words.replace("crowns", "bells").split()) == ""


def test_a_filter_knows_the_series(lot, capsys):
    assert "In stock: 2 cards" in said(capsys, "stock", "crowns")
    assert "In stock: 0 cards" in said(capsys, "stock", "bells")


def test_many_cards_get_what_their_own_series_has(desk):
    assert planned(desk, "gold")[1][0].parallel == "Gold"
    told, [moved] = planned(desk, "set=moor")
    assert (moved.set, moved.series) == ("Moor", "Crowns")
    assert "names that change" not in told


def test_a_set_without_the_series_is_told_before_it_is_done(desk):
    told, [moved] = planned(desk, "set=heath")
    assert moved.series == "Bells"
    assert told.endswith("names that change by number: 1, first #7 Seven, Crowns → Seven, Bells")


def test_a_card_that_goes_to_another_set_at_the_desk_stays_of_its_series(desk):
    desk.accept("set=moor")
    tags = desk.view.card_at(1).mark.tags
    assert (tags.set, tags.series) == ("Moor", "Crowns")
