"""One change to many cards: what it says before, what becomes of the cards, and the way back."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.at_work import BOTH, LIGHT, MATCHER, POND, SCANS, opened, take
from support.memory import MemoryStore

from tagger.core.lot.fields import CardInLot, cards
from tagger.core.model.condition import Scale
from tagger.core.model.tags import Mark, Marking, Parallel, State, Tags
from tagger.core.overview.bulk import BulkPlan, Lists, enter_plan, plan_aside, plan_clear, plan_tags
from tagger.core.overview.bulk_change import BulkChange, read_change
from tagger.core.session.session import Session
from tagger.errors import Refused
from tagger.ui.desk.modes.overview_list import Overview
from tagger.ui.desk.modes.prompts import Prompt

LISTS = Lists(MATCHER.index)
TAGGED = (
    Tags(LIGHT, "1", "Ada Marsh", "Gulls", "Gold", "12/99"),
    Tags(LIGHT, "2", "Bo Lund", "Gulls", condition="Good", place="box 1"),
    Tags(POND, "1", "Hana Wimuna", "Foxes"),
    Tags(LIGHT, "900", "Nobody", listed=False, parallel="Ink", serial="3/5"),
)


def session_of(marks: list[Mark]) -> Session:
    """A lot of six cards in memory with these marks."""
    session = Session(MemoryStore(), clock=lambda: 1000.0)
    session.candidates.matcher = MATCHER
    session.take_in(SCANS)
    pairs = session.view.arrangement.pairs
    given = tuple(Marking(pair.id, Mark(), mark) for pair, mark in zip(pairs, marks, strict=False))
    session.enter("so", given)
    return session


def lot() -> Session:
    """Four tagged cards, one that is set aside, one untagged."""
    return session_of(
        [*(Mark(State.TAGGED, tags) for tags in TAGGED), Mark(State.SET_ASIDE, reason="bent")]
    )


def seen(session: Session) -> list[CardInLot]:
    return list(cards(session.view))


def change(session: Session, typed: str) -> BulkPlan:
    chosen = seen(session)
    sets = {card.mark.tags.set for card in chosen}
    return plan_tags(
        chosen, read_change(typed, Scale(), MATCHER.index, LISTS.parallels(chosen), sets), LISTS
    )


def test_a_condition_for_all_says_what_was_there_before() -> None:
    session = lot()
    plan = change(session, "nm")
    assert (
        plan.told
        == "5 cards: condition Near Mint (1 had another, 4 had none) · unchanged: 1 untagged"
    )
    assert enter_plan(session, plan) == "Done: 5 cards: condition Near Mint."
    assert [card.mark.tags.condition for card in seen(session)] == ["Near Mint"] * 5 + [""]
    assert session.last_change() == "5 cards: condition Near Mint"


def test_a_parallel_is_kept_from_cards_whose_row_does_not_have_it() -> None:
    session = lot()
    plan = change(session, "parallel=silver")
    # Card 1 has a serial number of Gold's print run, card 3's set has no Silver, card 5 has no
    # number.
    assert [card.position for card in plan.cards] == [2, 4]
    assert "1 without Silver in the checklist" in plan.told
    assert "1 with a serial number of another print run" in plan.told
    assert "1 not in the checklists" in plan.told
    enter_plan(session, plan)
    assert [card.mark.tags.parallel for card in seen(session)] == [
        "Gold",
        "Silver",
        "",
        "Silver",
        "",
        "",
    ]
    assert [card.mark.tags.serial for card in seen(session)] == ["12/99", "", "", "3/5", "", ""]


def test_another_set_is_taken_where_it_has_the_card_with_its_own_team() -> None:
    session = session_of(
        [
            Mark(State.TAGGED, Tags(LIGHT, "8", "Hana Wimuna", "Gulls")),
            Mark(State.TAGGED, TAGGED[0]),
        ]
    )
    # a parallel is not given up for a set that does not have it
    plan = plan_tags(seen(session), BulkChange(set=POND), LISTS)
    assert [card.position for card in plan.cards] == [1]
    assert plan.told.endswith("1 without Gold in the checklist")
    # The number was read on the card; who typed it beside the wrong set has another name there.
    session = session_of([Mark(State.TAGGED, Tags(POND, "8", "Ada Marsh", "Foxes", note="kept"))])
    plan = plan_tags(seen(session), BulkChange(set=LIGHT), LISTS)
    assert "names that change by number: 1, first #8 Ada Marsh → Hana Wimuna" in plan.told
    enter_plan(session, plan)
    assert session.view.card_at(1).mark.tags == Tags(
        LIGHT, "8", "Hana Wimuna", "Gulls", note="kept", listed=True
    )
    middle = Tags("1987 harbor light", "5", "Edo Ferstad", "?")
    session = session_of([Mark(State.TAGGED, middle)])
    enter_plan(session, plan_tags(seen(session), BulkChange(set=LIGHT), LISTS))
    assert session.view.card_at(1).mark.tags == replace(middle, set=LIGHT, team="Gulls")


@pytest.mark.parametrize(
    ("typed", "wanted"),
    [
        ("near mint", BulkChange(condition="Near Mint")),
        ("gold nm", BulkChange(parallel="Gold", condition="Near Mint")),
        ("/99", BulkChange(parallel="Gold")),
        ("base", BulkChange(parallel="")),
        ("parallel=", BulkChange(parallel="")),
        ("condition=", BulkChange(condition="")),
        ("no condition", BulkChange(condition="")),
        ("none place", BulkChange(place="")),
        ("85", BulkChange(set=POND)),
        ("set=harbor_light", BulkChange(set=LIGHT)),
        ("set=harbor light gold", BulkChange(set=LIGHT, parallel="Gold")),
        ("no at", BulkChange(place="")),
        ("no cond", BulkChange(condition="")),
        (
            "gd at=box 3, row 2 note=sold",
            BulkChange(condition="Good", place="box 3, row 2", note="sold"),
        ),
        ("at= note=", BulkChange(place="", note="")),
        ("parallel=red_ink", BulkChange(parallel="Red Ink")),
    ],
)
def test_a_change_is_read_like_a_hint(typed: str, wanted: BulkChange) -> None:
    assert read_change(typed, Scale(), MATCHER.index, BOTH, {LIGHT, POND}) == wanted


@pytest.mark.parametrize(
    "typed",
    [
        "12/99",
        "serial=12",
        "#23",
        "name=gold",
        "team=gulls",
        "zebra",
        "condition=zebra",
        "gold silver",
        "s=harbor",
        "no se",
    ],
)
def test_what_is_for_one_card_or_not_understood_is_refused(typed: str) -> None:
    with pytest.raises(Refused):
        read_change(typed, Scale(), MATCHER.index, BOTH, {LIGHT})


def test_what_could_be_two_parallels_is_asked() -> None:
    with pytest.raises(Refused, match="Blue Wave, Blue Foil"):
        read_change(
            "blue", Scale(), MATCHER.index, (Parallel("Blue Wave"), Parallel("Blue Foil")), set()
        )
    blue = (Parallel("Blue"), Parallel("Blue Foil"))
    assert read_change("blue", Scale(), MATCHER.index, blue, set()).parallel == "Blue"


def test_a_short_word_stands_for_its_reason_in_the_list_too() -> None:
    overview = Overview(lot())
    overview.begin(Prompt.ASIDE)
    assert overview.plan("D").what == "set aside: damaged"
    assert overview.plan("d  by water").what == "set aside: d by water"
    assert overview.plan(" ").what == "set aside: check again"


def test_cards_are_set_aside_and_cleared_and_come_back_by_one_undo_each() -> None:
    session = lot()
    before = seen(session)
    plan = plan_aside(before, "bent")
    assert plan.told == "5 cards: set aside: bent · unchanged: 1 already set aside for this reason"
    enter_plan(session, plan)
    assert session.view.counts().set_aside == 6
    assert [card.mark.tags for card in seen(session)] == [card.mark.tags for card in before]
    plan = plan_clear(seen(session))
    assert plan.told == "6 cards: all tags removed (6 set aside)"
    enter_plan(session, plan)
    assert session.view.counts().untagged == 6
    session.undo()
    session.undo()
    assert seen(session) == before


def test_nothing_to_do_is_no_step_to_undo() -> None:
    session = lot()
    with pytest.raises(Refused):
        enter_plan(session, plan_clear(seen(session)[5:]))
    assert session.last_change() == "so"


def test_it_is_one_line_of_the_journal_and_undone_after_it_was_opened_again(tmp_path: Path) -> None:
    session = opened(tmp_path)
    for hint in ("1", "2", "3"):
        take(session, f"{hint} harbor")
    before = seen(session)
    lines = (tmp_path / "lot.journal").read_bytes().count(b"\n")
    enter_plan(session, plan_tags(before, BulkChange(condition="Mint", place="box 9"), LISTS))
    assert (tmp_path / "lot.journal").read_bytes().count(b"\n") == lines + 1
    session.close()
    session = opened(tmp_path)
    assert [card.mark.tags.place for card in seen(session)] == ["box 9"] * 3 + [""] * 3
    session.undo()
    assert seen(session) == before
    session.close()


wanted = st.builds(
    BulkChange,
    parallel=st.sampled_from((None, "", "Gold", "Silver")),
    condition=st.sampled_from((None, "", "Good", "Mint")),
    place=st.sampled_from((None, "", "box 1")),
    note=st.sampled_from((None, "", "n")),
).filter(lambda found: found != BulkChange())
some = st.lists(
    st.one_of(
        st.just(Mark()), st.sampled_from(TAGGED).map(lambda tags: Mark(State.TAGGED, tags)),
        st.sampled_from(TAGGED).map(lambda tags: Mark(State.SET_ASIDE, tags, "bent")),
    ),
    min_size=1, max_size=6,
)  # fmt: skip


@given(some, wanted)
def test_only_what_was_asked_for_changes_and_undo_is_exact(
    marks: list[Mark], asked: BulkChange
) -> None:
    session = session_of(marks)
    before = seen(session)
    plan = plan_tags(before, asked, LISTS)
    if not plan.cards:
        return
    enter_plan(session, plan)
    changed = {card.position for card in plan.cards}
    for old, new in zip(before, seen(session), strict=True):
        if old.position not in changed:
            assert new == old
            continue
        assert new.mark == replace(old.mark, tags=replace(old.mark.tags, **dict(asked.pairs())))
        if new.mark.tags.listed and new.mark.tags.parallel != old.mark.tags.parallel:
            assert new.mark.tags.parallel in ("", "Gold", "Silver")
            assert new.mark.tags.set == LIGHT
            assert not new.mark.tags.serial
    session.undo()
    assert seen(session) == before
    session.redo()
    session.undo()
    assert seen(session) == before
