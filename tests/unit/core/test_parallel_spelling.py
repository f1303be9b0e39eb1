"""One parallel in two spellings, `Gold` in one list and `GOLD` in the next, and the plain card that
a list calls Base: one thing wherever it is compared, and spelled as the card's own list has it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from support.at_work import LIGHT, POND, opened, take

from tagger.core.checklist.checklist import Checklist
from tagger.core.index.index import Index
from tagger.core.lot.fields import cards
from tagger.core.matching.matcher import Matcher
from tagger.core.model.tags import Parallel, Row, Tags, listed_parallel
from tagger.core.overview.bulk import BulkPlan, Lists, enter_plan, plan_tags
from tagger.core.overview.bulk_change import read_change
from tagger.core.session.session import Session

ROWS = (
    Row(LIGHT, "1", "Ada Marsh", "", (Parallel("Base", 199), Parallel("Gold", 25))),
    Row(LIGHT, "3", "Cyr Torwick", "", (Parallel("Gold"),)),
    Row(POND, "1", "Ada Marsh", "", (Parallel("BASE", 199), Parallel("GOLD", 25))),
    Row(POND, "2", "Bo Lund", "", (Parallel("GOLD"), Parallel("Blue Wave"))),
)
INDEX = Index(Checklist(ROWS))


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Session]:
    session = opened(tmp_path)
    session.candidates.matcher = Matcher(INDEX)
    yield session
    session.close()


def tags_at(session: Session, position: int) -> Tags:
    return session.view.card_at(position).mark.tags


def planned(session: Session, typed: str) -> BulkPlan:
    lists, chosen = Lists(INDEX), [one for one in cards(session.view) if one.mark.tags.number]
    wanted = read_change(typed, session.scale, INDEX, lists.parallels(chosen), session.view.sets())
    return plan_tags(chosen, wanted, lists)


def test_a_parallel_is_found_in_any_case_and_the_plain_card_by_its_name():
    gold, shouted = Parallel("Gold", 25), Parallel("GOLD", 5)
    assert listed_parallel((gold,), "GOLD") is gold
    assert listed_parallel((gold, shouted), "GOLD") is shouted
    assert listed_parallel((Parallel("Base", 199), gold), "") == Parallel("Base", 199)
    assert listed_parallel((gold,), "") is None


def test_a_carried_parallel_goes_on_in_a_set_that_spells_it_otherwise(desk):
    desk.accept("#3 gold")
    desk.carry("gold")
    desk.accept("bo lund")
    assert (tags_at(desk, 2).set, tags_at(desk, 2).parallel) == (POND, "GOLD")


def test_the_same_card_again_is_base_where_its_list_numbers_the_base_cards(desk):
    take(desk, "set=1987 1")
    desk.again("13/199")
    assert (tags_at(desk, 2).parallel, tags_at(desk, 2).serial) == ("", "13/199")


def test_many_cards_get_one_parallel_each_as_its_own_list_spells_it(desk):
    take(desk, "set=1987 3")
    take(desk, "set=1985 2")
    plan = planned(desk, "gold")
    assert plan.told == "2 cards: parallel Gold (2 had none)"
    enter_plan(desk, plan)
    assert [tags_at(desk, at).parallel for at in (1, 2)] == ["Gold", "GOLD"]
    # the spelling alone is nothing to change
    assert planned(desk, "gold").cards == ()


def test_a_numbered_base_card_goes_over_to_another_set(desk):
    take(desk, "set=1987 1 13/199")
    enter_plan(desk, planned(desk, "set=1985"))
    there = tags_at(desk, 1)
    assert (there.set, there.parallel, there.serial) == (POND, "", "13/199")


def test_a_card_of_another_spelling_keeps_its_serial_number_when_it_is_corrected(desk):
    take(desk, "set=1987 1 gold 12/25")
    enter_plan(desk, planned(desk, "set=1985"))
    assert (tags_at(desk, 1).parallel, tags_at(desk, 1).serial) == ("GOLD", "12/25")
    desk.go(1)
    desk.accept("set=1987")
    assert (tags_at(desk, 1).set, tags_at(desk, 1).serial) == (LIGHT, "12/25")


def test_a_card_in_no_list_has_its_parallel_as_the_list_spells_it(desk):
    found = desk.unlisted("#2 bo parallel=gold set=1985_mill_pond")
    assert (found.tags.parallel, found.listed_as) == ("GOLD", "")
    found = desk.unlisted("#2 bo parallel=ink set=1985_mill_pond")
    assert found.listed_as == "the list has #2 Bo Lund as base, GOLD or Blue Wave, not Ink"
