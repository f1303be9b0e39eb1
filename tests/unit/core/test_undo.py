"""Second thoughts: undo and redo, over sittings too, and memory and disk that never differ."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support.at_work import facts, kept, opened, take

from tagger.core.lot.view import Counts
from tagger.core.model.side_order import SideOrder
from tagger.core.model.tags import Mark
from tagger.core.session.arranging import arrange
from tagger.core.session.session import Session
from tagger.errors import Refused
from tagger.store.lot.lot_file import read_lot


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Session]:
    session = opened(tmp_path)
    yield session
    session.close()


def test_undo_says_what_and_stands_where_it_was_done(desk):
    take(desk, "set=87 1")
    desk.go(5)
    assert desk.undo() == "Undone: card 1: #1 Ada Marsh, base."
    assert (desk.view.cursor.position, desk.view.card_at(1).mark) == (1, Mark())
    with pytest.raises(Refused, match="nothing to undo"):
        desk.undo()


def test_counts_are_right_after_a_side_order_that_moved_a_tag_is_undone(desk, tmp_path):
    take(desk, "set=87 1")
    arrange(desk, SideOrder.FRONT_ONLY)
    arrange(desk, SideOrder.BACK_FIRST)
    desk.undo()
    assert desk.view.counts() == read_lot(tmp_path).counts() == Counts(12, 1, 0)


def test_a_new_change_ends_what_can_be_done_again(desk):
    take(desk, "set=87 1")
    desk.undo()
    take(desk, "set=87 2")
    with pytest.raises(Refused, match="nothing to redo"):
        desk.redo()
    desk.undo()
    assert desk.last_change() == ""


def test_undo_and_redo_reach_over_sittings(tmp_path):
    desk = opened(tmp_path)
    take(desk, "set=87 1")
    take(desk, "2 g 12/99")
    desk.undo()
    desk.close()
    desk = opened(tmp_path)
    desk.redo()
    assert desk.view.card_at(2).mark.tags.serial == "12/99"
    desk.undo()
    desk.undo()
    desk.close()
    desk = opened(tmp_path)
    assert desk.view.counts().untagged == 6
    desk.redo()
    assert desk.view.card_at(1).mark.tags.subject == "Ada Marsh"
    desk.close()


def test_the_place_of_work_outlasts_the_sitting(tmp_path):
    desk = opened(tmp_path)
    desk.go(4)
    desk.close()
    assert read_lot(tmp_path).cursor.position == 4


HINTS = ("set=87 1", "set=85 2", "3 g 12/99", "", "silver", "2 100/99", "zzqx", "4 nm at=box 2")
STEPS = (
    *(("enter", hint) for hint in HINTS),
    *(("carry", hint) for hint in ("set=85", "parallel=gold", "nm", "at=row 1", "at=")),
    *(("arrange", sides) for sides in SideOrder),
    *(("go", position) for position in (1, 3, 7)),
    *(
        ("again",),
        ("set_aside", "look"),
        ("clear",),
        ("drop", ""),
        ("take_unlisted", "77 Ivo Renley"),
    ),
    *(("undo",), ("redo",), ("next_untagged",)),
)


def do(desk: Session, name: str, *arguments: object) -> None:
    """One step of these."""
    if name == "enter":
        desk.accept(str(arguments[0]), 0)
    elif name == "arrange":
        arrange(desk, SideOrder(arguments[0]))
    else:
        getattr(desk, name)(*arguments)


def still(seen: tuple[object, ...]) -> tuple[object, ...]:
    """The same without the position: a mere step is kept with the next change, or when the keys are
    quiet."""
    return (seen[0], seen[1].carried, *seen[2:])


@settings(max_examples=60)
@given(st.lists(st.sampled_from(STEPS), max_size=20))
def test_the_file_says_what_memory_says_and_all_can_be_undone_and_done_again(steps):
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        desk = opened(home)
        at_start = [desk.view.card_at(position) for position in range(1, desk.view.cards + 1)]
        for name, *arguments in steps:
            before = facts(desk)
            try:
                do(desk, name, *arguments)
            except Refused:
                assert facts(desk) == before
            assert still(kept(home)) == still(facts(desk)[:-1])
        desk.settle()
        assert kept(home) == facts(desk)[:-1]
        at_end = facts(desk)[0], desk.view.sides
        done = 0
        while desk.last_change():
            desk.undo()
            done += 1
            assert kept(home) == facts(desk)[:-1]
        assert [
            desk.view.card_at(position) for position in range(1, desk.view.cards + 1)
        ] == at_start
        desk.close()
        desk = opened(home)
        for _ in range(done):
            desk.redo()
        assert (facts(desk)[0], desk.view.sides) == at_end
        assert kept(home) == facts(desk)[:-1]
        desk.close()
