"""Scans that come later, and another side order: every tag stays on its card."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support.memory import MemoryStore

from tagger.core.feeding.pairing import first_intake, later_intake, rearranged
from tagger.core.model.arrangement import Arrangement, Pair
from tagger.core.model.side_order import SideOrder
from tagger.core.model.tags import Mark, State, Tags
from tagger.core.session.arranging import arrange
from tagger.core.session.session import Session
from tagger.errors import Refused


def scans(*numbers: float) -> list[str]:
    """Scan names; 2.5 lies between 2 and 3."""
    return [f"s_{int(number * 100):06d}.jpg" for number in numbers]


def tagged(subject: str) -> Mark:
    return Mark(State.TAGGED, Tags(subject=subject))


def sides_of(arrangement: Arrangement) -> list[tuple[str | None, str | None]]:
    return [(pair.front, pair.back) for pair in arrangement.pairs]


def on_scan(session: Session) -> dict[str, Mark]:
    """Marks by each card's front scan, else by its back."""
    cards = [session.view.card_at(position) for position in range(1, session.view.cards + 1)]
    return {
        card.front or card.back or "": card.mark
        for card in cards
        if card.mark.state is not State.UNTAGGED
    }


def by_scan(session: Session) -> dict[str, Mark]:
    """The mark of the card that each scan is on."""
    cards = [session.view.card_at(position) for position in range(1, session.view.cards + 1)]
    return {
        name: card.mark for card in cards for name in (card.front, card.back) if name is not None
    }


def lot(count: int, sides: SideOrder | None = None) -> Session:
    """A session at a new lot of so many scans."""
    session = Session(MemoryStore(), clock=lambda: 0.0)
    session.take_in(scans(*range(1, count + 1)))
    if sides is not None:
        arrange(session, sides)
    return session


def tag(session: Session, position: int) -> str:
    """Tag a card with a name of its own, and return the name."""
    session.go(position)
    card = session.view.card_at(position)
    session.take_unlisted(f"7 name=of{(card.front or card.back or '')[2:8]}")
    return session.view.card_at(position).mark.tags.subject


def test_a_first_intake_numbers_the_cards_in_feeding_order():
    arrangement, next_id = first_intake(scans(3, 1, 2))
    assert arrangement.pairs == (Pair(1, *scans(1, 2)), Pair(2, *scans(3), None))
    assert next_id == 3


def test_an_empty_folder_is_a_lot_without_cards():
    assert first_intake([]) == (Arrangement(), 1)


def test_nothing_new_changes_nothing():
    known, next_id = first_intake(scans(1, 2, 3, 4))
    again, after = later_intake(known, {1: tagged("Ada Marsh")}, scans(4, 3, 2, 1), next_id)
    assert again is known
    assert after == next_id


def test_new_scans_go_on_at_the_end():
    known, next_id = first_intake(scans(1, 2))
    later, after = later_intake(known, {1: tagged("Ada Marsh")}, scans(1, 2, 3, 4), next_id)
    assert later.pairs == (*known.pairs, Pair(2, *scans(3, 4)))
    assert after == 3


def test_a_later_scan_completes_an_odd_card_and_leaves_its_tags():
    known, next_id = first_intake(scans(1, 2, 3))
    later, _ = later_intake(known, {2: tagged("Ada Marsh")}, scans(1, 2, 3, 4), next_id)
    assert later.pairs == (Pair(1, *scans(1, 2)), Pair(2, *scans(3, 4)))


def test_a_later_front_completes_a_tagged_back():
    known, next_id = first_intake(["7_f.jpg", "7_b.jpg", "8_b.jpg"])
    later, _ = later_intake(
        known, {2: tagged("Ada Marsh")}, ["7_f.jpg", "7_b.jpg", "8_b.jpg", "8_f.jpg"], next_id
    )
    assert later.pairs == (Pair(1, "7_f.jpg", "7_b.jpg"), Pair(2, "8_f.jpg", "8_b.jpg"))


def test_a_scan_between_two_tagged_cards_joins_at_the_end():
    known, next_id = first_intake(scans(1, 2, 3, 4))
    later, _ = later_intake(
        known, {1: tagged("Ada Marsh"), 2: tagged("Bo Lund")}, scans(1, 2, 2.5, 3, 4), next_id
    )
    assert later.pairs == (*known.pairs, Pair(3, *scans(2.5), None))


def test_a_scan_behind_the_last_tagged_card_goes_where_it_was_fed():
    known, next_id = first_intake(scans(1, 2, 3, 4))
    later, _ = later_intake(known, {1: tagged("Ada Marsh")}, scans(1, 2, 2.5, 3, 4), next_id)
    assert sides_of(later) == [tuple(scans(1, 2)), tuple(scans(2.5, 3)), (*scans(4), None)]


def test_an_untagged_lot_is_arranged_afresh():
    known, next_id = first_intake(scans(1, 2, 3, 4))
    later, _ = later_intake(known, {}, scans(0.5, 1, 2, 3, 4), next_id)
    assert sides_of(later) == [tuple(scans(0.5, 1)), tuple(scans(2, 3)), (*scans(4), None)]
    assert len({pair.id for pair in later.pairs}) == 3


def test_a_scan_that_is_gone_stays_with_its_tagged_card():
    known, next_id = first_intake(scans(1, 2, 3, 4))
    later, _ = later_intake(known, {1: tagged("Ada Marsh")}, scans(1, 3, 4, 5, 6), next_id)
    assert sides_of(later) == [tuple(scans(1, 2)), tuple(scans(3, 4)), tuple(scans(5, 6))]


def test_tags_of_an_odd_scan_outlast_a_rescan_and_one_more_scan():
    """The scan before it is fed again and joins at the end; then the tray goes on."""
    session = lot(3)
    subject = tag(session, 2)
    session.take_in(scans(1, 2, 2.5, 3))
    session.take_in(scans(1, 2, 2.5, 3, 4))
    assert {name: mark.tags.subject for name, mark in on_scan(session).items()} == {
        scans(3)[0]: subject
    }


@settings(max_examples=300)
@given(
    st.lists(st.sets(st.integers(1, 8), max_size=3), min_size=1, max_size=6),
    st.lists(st.sets(st.integers(0, 3), max_size=2), min_size=6, max_size=6),
    st.sampled_from([None, *SideOrder]),
)
def test_later_scans_never_take_a_tag_off_its_scan(folders, marked, sides):
    session = Session(MemoryStore(), clock=lambda: 0.0)
    present: set[int] = set()
    for fed, positions in zip(folders, marked, strict=False):
        before = on_scan(session)
        present |= fed
        session.take_in(scans(*present))
        assert {name: mark for name, mark in by_scan(session).items() if name in before} == before
        assert len(on_scan(session)) == len(before)
        if sides is not None and not before and session.view.cards:
            arrange(session, sides)
        for position in positions:
            if position < session.view.cards:
                tag(session, position + 1)


def test_a_side_order_keeps_tags_with_the_front_scan():
    session = lot(6)
    first, third = tag(session, 1), tag(session, 3)
    arrange(session, SideOrder.FRONT_ONLY)
    found = {name: mark.tags.subject for name, mark in on_scan(session).items()}
    assert session.view.cards == 6
    assert found == {scans(1)[0]: first, scans(5)[0]: third}


def test_tags_of_a_card_without_a_front_stay_with_its_back():
    session = lot(3, SideOrder.BACK_FIRST)
    subject = tag(session, 2)
    arrange(session, SideOrder.FRONT_ONLY)
    assert {name: mark.tags.subject for name, mark in on_scan(session).items()} == {
        scans(3)[0]: subject
    }


def test_a_side_order_is_refused_where_two_tagged_cards_would_become_one():
    session = lot(4, SideOrder.FRONT_ONLY)
    tag(session, 1)
    tag(session, 2)
    before = on_scan(session)
    with pytest.raises(Refused, match="Cards 1 and 2 are both tagged"):
        arrange(session, SideOrder.ALTERNATE)
    assert session.view.sides is SideOrder.FRONT_ONLY
    assert on_scan(session) == before


def test_a_card_that_is_set_aside_counts_as_tagged():
    session = lot(2, SideOrder.FRONT_ONLY)
    tag(session, 1)
    session.set_aside("torn")
    with pytest.raises(Refused):
        arrange(session, SideOrder.ALTERNATE)


def test_rearranging_says_which_marks_move():
    known = Arrangement(
        SideOrder.ALTERNATE, (Pair(1, "a_1.jpg", "a_2.jpg"), Pair(2, "a_3.jpg", "a_4.jpg"))
    )
    fresh, moved = rearranged(known, {2: tagged("Ada Marsh")}, SideOrder.FRONT_ONLY, 3)
    assert moved == ()
    assert [(pair.id, pair.front) for pair in fresh.pairs] == [
        (1, "a_1.jpg"), (3, "a_2.jpg"), (2, "a_3.jpg"), (4, "a_4.jpg"),
    ]  # fmt: skip


def test_undo_of_a_side_order_restores_all_exactly():
    session = lot(7)
    tag(session, 1)
    tag(session, 2)
    session.go(4)
    before = (
        [session.view.card_at(position) for position in range(1, 5)],
        session.view.cursor,
        session.view.sides,
    )
    arrange(session, SideOrder.FRONTS_THEN_BACKS)
    session.undo()
    assert (
        [session.view.card_at(position) for position in range(1, 5)],
        session.view.cursor,
        session.view.sides,
    ) == before


@settings(max_examples=200)
@given(
    st.integers(1, 12),
    st.lists(st.tuples(st.sampled_from(SideOrder), st.integers(0, 11)), max_size=8),
)
def test_no_side_order_parts_a_mark_from_its_front_scan(count, steps):
    session = lot(count)
    for sides, position in steps:
        if position < session.view.cards:
            tag(session, position + 1)
        marks = on_scan(session)
        cards = [session.view.card_at(number) for number in range(1, session.view.cards + 1)]
        try:
            arrange(session, sides)
        except Refused:
            assert [
                session.view.card_at(number) for number in range(1, session.view.cards + 1)
            ] == cards
            continue
        assert {name: mark for name, mark in by_scan(session).items() if name in marks} == marks
        assert len(on_scan(session)) == len(marks)


@settings(max_examples=100)
@given(
    st.integers(1, 9),
    st.lists(st.tuples(st.sampled_from(SideOrder), st.integers(0, 8)), max_size=6),
)
def test_undone_to_the_start_and_done_again_gives_the_same_cards(count, steps):
    session = lot(count)

    def cards():
        return [
            session.view.card_at(position) for position in range(1, session.view.cards + 1)
        ], session.view.cursor

    at_start, done = cards(), 0
    for sides, position in steps:
        if position < session.view.cards:
            tag(session, position + 1)
            done += 1
        try:
            arrange(session, sides)
            done += 1
        except Refused:
            pass
    at_end = cards()
    for _ in range(done):
        session.undo()
    assert cards()[0] == at_start[0]
    for _ in range(done):
        session.redo()
    assert cards() == at_end
