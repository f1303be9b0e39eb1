"""Warnings while a card is tagged, unsure cards, and going through what is in question."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support.at_work import LIGHT, MATCHER, SCANS, opened, take
from support.memory import MemoryStore

from tagger.core.matching.candidate import Candidate
from tagger.core.model.reasons import Reasons
from tagger.core.model.side_order import SideOrder
from tagger.core.model.tags import Mark, State, Tags
from tagger.core.session.arranging import arrange
from tagger.core.session.proposal import Deed
from tagger.core.session.review import Review, warned
from tagger.core.session.session import Session
from tagger.errors import Refused
from tagger.store.lot.documents import mark_document, read_mark
from tagger.store.lot.lot_file import read_lot

NUMBERED = "set=87 2 g 12/99"
DEAR = Candidate(Tags(LIGHT, "3", "Cyr Torwick", extra=(("Price", "$6.50"),)), 1.0)
UNSURE = Candidate(Tags(LIGHT, "1", "Ada Marsh"), 0.5, reasons=(("a", "initials"),))


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Session]:
    session = opened(tmp_path)
    session.review.closer_look = Decimal("5.00")
    yield session
    session.close()


def test_a_serial_number_that_is_there_already_is_warned_of_before_and_after(desk):
    take(desk, NUMBERED)
    assert desk.proposals.of(NUMBERED).warnings == ("card 1 already has serial number 12/99",)
    assert desk.proposals.of(NUMBERED).deed is Deed.TAKE
    assert (
        desk.proposals.of("set=87 2 g 13/99").warnings
        == desk.proposals.of("set=87 3 g 12/99").warnings
        == ()
    )
    said = desk.accept(NUMBERED, 0)
    assert said.startswith(
        "Check again: card 1 already has serial number 12/99. Card 2: #2 Bo Lund"
    )
    assert desk.review.left() == [1, 2]
    desk.undo()
    assert desk.review.left() == []
    assert desk.proposals.of(NUMBERED).warnings != ()
    desk.undo()
    assert desk.proposals.of(NUMBERED).warnings == ()
    desk.redo()
    desk.go(3)
    assert desk.proposals.of(NUMBERED).warnings != ()
    arrange(desk, SideOrder.FRONT_ONLY)
    desk.go(8)
    assert desk.proposals.of(NUMBERED).warnings == ("card 1 already has serial number 12/99",)
    desk.go(1)
    assert desk.review.warnings(1, desk.view.card_at(1).mark.tags) == ()


def test_a_card_is_worth_a_closer_look_until_it_is_confirmed(desk):
    assert desk.take(DEAR).startswith("Check again: worth a closer look: price $6.50. Card 1")
    assert desk.review.why(1) == "worth a closer look: price $6.50"
    desk.review.next()
    desk.accept("", 0)
    assert desk.review.why(1) == ""
    desk.go(1)
    desk.take(DEAR)
    assert desk.review.why(1) != ""
    desk.review.closer_look = Decimal("6.51")
    assert desk.review.why(1) == ""


def test_a_card_taken_while_unsure_is_marked_so_and_taking_it_again_confirms(desk, tmp_path):
    desk.take(UNSURE)
    assert desk.view.card_at(1).mark.unsure
    assert read_lot(tmp_path).card_at(1).mark.unsure
    desk.again()
    assert desk.view.card_at(2).mark.unsure
    desk.go(1)
    desk.take(UNSURE)
    assert not desk.view.card_at(1).mark.unsure
    desk.go(1)
    desk.take(replace(UNSURE, tags=Tags(LIGHT, "2", "Bo Lund")))
    assert desk.view.card_at(1).mark.unsure
    desk.go(3)
    desk.accept("", 0)
    assert not desk.view.card_at(3).mark.unsure


OTHER = "1985 Mill Pond"


def sparse(*numbers: int, sets: tuple[str, ...] = (LIGHT,)) -> Session:
    """A desk where cards of one set, or of several by turns, were taken by their numbers."""
    desk = Session(MemoryStore())
    desk.take_in([f"scan_{number}.jpg" for number in range(1, 81)])
    for at, number in enumerate(numbers):
        desk.take(one_of(number, sets[at % len(sets)]))
    return desk


def one_of(number: int, of: str = LIGHT, parallel: str = "") -> Candidate:
    return Candidate(Tags(of, str(number), parallel=parallel), 1.0)


def test_a_slip_in_a_tray_of_each_seventh_card_is_doubted_before_it_is_taken():
    desk = sparse(103, 110, 116, 123, 130, 136, 143)
    assert desk.review.warnings(8, one_of(150).tags) == ()
    said = "#15 is out of sequence; #150 would follow #143 of card 7"
    assert desk.review.warnings(8, one_of(15).tags) == (said,)
    assert desk.review.warnings(8, one_of(15, parallel="Gold").tags) == ()


def test_the_next_card_doubts_a_slip_that_was_not_seen_at_once():
    desk = sparse(103, 104, 115, 118, 119, 131, 135, 136, 150)
    assert desk.take(one_of(165)) == "Card 10: #165, base."
    said = "card 10: #165 is out of sequence; #156 would follow #150 of card 9"
    assert desk.review.warnings(11, one_of(157).tags) == (said,)
    assert desk.take(one_of(157)).startswith(f"Check again: {said}. Card 11")
    assert desk.review.left() == [10]
    assert desk.review.why(10) == said.removeprefix("card 10: ")
    desk.go(10)
    desk.review.keep()
    assert desk.review.left() == []


def test_piles_of_two_sets_by_turns_are_two_runs():
    desk = sparse(*(n for at in range(6) for n in (103 + 7 * at, 31 + at)), sets=(LIGHT, OTHER))
    assert "#145 would follow #138 of card 11" in "".join(desk.review.warnings(13, one_of(45).tags))
    assert desk.review.warnings(13, one_of(145).tags) == ()
    assert "#37 would follow #36 of card 12" in "".join(
        desk.review.warnings(13, one_of(337, OTHER).tags)
    )


def test_the_marks_of_second_looks_are_kept_and_left_out_where_there_are_none():
    for mark in (Mark(State.TAGGED, unsure=True), Mark(State.TAGGED, confirmed=True)):
        assert read_mark(mark_document(mark)) == mark
    assert set(mark_document(Mark(State.TAGGED))) == {"state"}


def test_the_review_goes_through_all_in_question_and_says_why_and_how_many(desk):
    desk.take(UNSURE)
    take(desk, "set=87 1")
    desk.take_unlisted("77 Ivo Renley")
    desk.set_aside("bent")
    desk.go(2)
    assert desk.review.next() == "Card 3: in no checklist · 3 left to review."
    assert desk.proposals.of("").warnings == ("in review, 3 left: in no checklist",)
    assert desk.accept("", 0) == "Card 4: set aside · 2 left to review. Card 3 stays as it is."
    assert desk.accept("", 0).startswith("Card 1: accepted while unsure · 2 left to review.")
    assert desk.accept("set=87 1", 0).startswith("Card 4: set aside · this is the only one left.")
    assert not desk.view.card_at(1).mark.unsure
    assert desk.accept("set=87 4", 0).startswith("That was the last one to review.")
    with pytest.raises(Refused, match="No card is left to review"):
        desk.review.next()


def test_a_frame_unlike_those_around_it_is_in_question_until_the_parallel_is_there(desk):
    for at in (1, 2, 3):
        take(desk, f"set=87 {at}")
    assert desk.review.left() == []
    front = desk.view.card_at(2).front
    desk.review.ask_frames(frozenset({front}))
    assert desk.review.left() == [2]
    assert "frame unlike those around it" in desk.review.next()
    desk.accept("gold", 0)
    assert desk.view.card_at(2).mark.tags.parallel == "Gold"
    assert desk.review.left() == []
    # asked no more, by another audit
    desk.undo()
    assert desk.review.left() == [2]
    desk.review.ask_frames(frozenset())
    assert desk.review.left() == []


def test_keeping_outside_the_review_confirms_nothing(desk):
    desk.take(UNSURE)
    desk.review.next()
    desk.step(1)
    desk.step(-1)
    desk.go(2)
    assert not desk.review.going
    desk.review.next()
    desk.go(2)
    desk.set_aside("look")
    assert desk.view.cursor.position == 3


def test_a_confirmation_is_one_change_that_can_be_undone(desk):
    desk.take(UNSURE)
    desk.review.next()
    desk.accept("", 0)
    assert desk.last_change() == "card 1: #1 Ada Marsh, base, confirmed"
    assert desk.view.card_at(1).mark.confirmed
    desk.undo()
    assert desk.view.card_at(1).mark == Mark(State.TAGGED, UNSURE.tags, unsure=True)
    assert desk.review.left() == [1]


MARKS = (
    Mark(),
    Mark(State.TAGGED, Tags(LIGHT, "1", "Ada Marsh")),
    Mark(State.TAGGED, Tags(LIGHT, "1", "Ada Marsh"), unsure=True),
    Mark(State.TAGGED, Tags(LIGHT, "1", "Ada Marsh", listed=False)),
    Mark(State.TAGGED, Tags(LIGHT, "1", "Ada Marsh", listed=False), confirmed=True),
    Mark(State.SET_ASIDE, Tags(), "bent"),
)
ASKED = {2, 3, 5}


@settings(max_examples=80)
@given(st.lists(st.sampled_from(range(len(MARKS))), min_size=6, max_size=6), st.integers(1, 7))
def test_the_review_visits_each_card_in_question_once_in_feeding_order_round_the_end(
    given_marks, start
):
    desk = Session(MemoryStore())
    desk.take_in(SCANS)
    for pair, mark in zip(desk.view.arrangement.pairs, given_marks, strict=True):
        desk._store.lot.marks[pair.id] = MARKS[mark]
    asked = [at for at, mark in enumerate(given_marks, start=1) if mark in ASKED]
    desk.go(start)
    if not asked:
        with pytest.raises(Refused):
            desk.review.next()
        return
    visited = []
    for _ in asked:
        desk.review.next()
        visited.append(desk.view.cursor.position)
    assert visited == [at for at in asked if at > start] + [at for at in asked if at <= start]


def test_one_short_word_is_taken_for_its_reason(desk):
    assert desk.set_aside(" D ") == "Card 1 is set aside: damaged."
    assert desk.set_aside("?") == "Card 2 is set aside: which parallel?"
    assert desk.set_aside("d corner") == "Card 3 is set aside: d corner."
    desk.reasons = Reasons({"b": "bent"})
    assert desk.set_aside("b").endswith("bent.")
    assert desk.set_aside("d").endswith(": d.")


STEPS = (
    "enter",
    "again",
    "set_aside",
    "unsure",
    "unlisted",
    "undo",
    "redo",
    "back",
    "review",
    "numbered",
    "fronts only",
)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.sampled_from(STEPS), max_size=25))
def test_what_is_in_question_is_the_same_as_looked_at_afresh(steps):
    desk = Session(MemoryStore())
    desk.candidates.matcher = MATCHER
    desk.take_in([f"scan_{number}.jpg" for number in range(1, 25)])
    deeds = {
        "enter": lambda: desk.accept("", 0),
        "again": desk.again,
        "set_aside": lambda: desk.set_aside("d"),
        "unsure": lambda: desk.take(UNSURE),
        "unlisted": lambda: desk.take_unlisted("77 Ivo Renley"),
        "undo": desk.undo,
        "redo": desk.redo,
        "back": lambda: desk.step(-1),
        "review": desk.review.next,
        "numbered": lambda: take(desk, NUMBERED),
        "fronts only": lambda: arrange(desk, SideOrder.FRONT_ONLY),
    }
    for step in steps:
        with contextlib.suppress(Refused):
            deeds[step]()
        assert desk.review.left() == Review(desk.view, desk).left()


def test_a_question_has_no_full_stop_behind_it():
    assert warned("Card 5: #5.", ("a frame unlike others, which parallel?",)) == (
        "Check again: a frame unlike others, which parallel? Card 5: #5."
    )
    assert warned("Card 5: #5.", ("dear",)) == "Check again: dear. Card 5: #5."


def test_the_review_asks_the_lists_which_numbers_a_set_has(desk):
    assert desk.review.may_be(LIGHT, 1)
    assert not desk.review.may_be(LIGHT, 99_999)
    assert desk.review.may_be("a set that no list has", 99_999)
