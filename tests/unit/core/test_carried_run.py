"""Tags carried for so many cards: the count, what comes back at its end, and that undo goes over
the boundary."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support.at_work import LIGHT, MATCHER, facts, kept, opened, take
from support.memory import MemoryStore

from tagger.core.lot.carried import CARRIED_FIELDS, Carried, CarriedRun, Cursor
from tagger.core.lot.carried_run import carried_on, counted, dropped, ended, read_next
from tagger.core.session.proposal import Deed
from tagger.core.session.session import Session
from tagger.errors import Refused
from tagger.store.lot.documents import cursor_document, read_cursor


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Session]:
    session = opened(tmp_path)
    yield session
    session.close()


def carried(session: Session) -> dict[str, str]:
    return dict(session.view.cursor.carried.pairs)


def left(session: Session) -> int:
    stretch = session.view.cursor.carried.stretch
    return stretch.left if stretch else 0


def test_a_stretch_carries_for_so_many_cards_and_gives_back_what_was_carried(desk):
    desk.carry("ex at=box 1")
    said = desk.carry("next=2 set=87 gold nm at=box 3, row 2")
    assert said == (
        "Carrying for the next 2 cards: condition Near Mint, set 1987 Harbor Light, parallel Gold, "
        "place box 3, row 2."
    )
    first = take(desk, "1")
    assert (first.set, first.parallel, first.condition, first.place) == (
        LIGHT,
        "Gold",
        "Near Mint",
        "box 3, row 2",
    )
    assert left(desk) == 1
    said = desk.take(desk.candidates.of("2")[0])
    assert said == (
        "Card 2: #2 Bo Lund, Gold, Near Mint. "
        "next= finished; carrying no set, no parallel, condition Excellent, place box 1 again."
    )
    assert (carried(desk), left(desk)) == ({"condition": "Excellent", "place": "box 1"}, 0)


def test_what_the_stretch_did_not_name_stays_as_it_has_become(desk):
    desk.carry("next=2 nm")
    take(desk, "set=87 1")
    desk.carry("at=box 7")
    take(desk, "2")
    assert carried(desk) == {"set": LIGHT, "place": "box 7"}


def test_only_cards_that_were_untagged_count(desk):
    take(desk, "set=87 1")
    desk.carry("next=3 nm")
    desk.go(1)
    take(desk, "5")
    assert left(desk) == 3
    desk.set_aside("torn")
    assert left(desk) == 2
    desk.go(2)
    desk.clear()
    assert left(desk) == 2
    desk.step(1)
    assert left(desk) == 2


def test_undo_over_the_boundary_brings_the_count_back(desk):
    desk.carry("next=1 gold nm")
    before = desk.view.cursor
    take(desk, "set=87 1")
    assert left(desk) == 0
    desk.undo()
    assert desk.view.cursor == before
    desk.redo()
    assert (left(desk), carried(desk)) == (0, {"set": LIGHT})
    desk.undo()
    desk.undo()
    assert desk.view.cursor == Cursor()


def test_setting_aside_ends_a_stretch_as_well(desk):
    desk.carry("next=1 nm")
    assert desk.set_aside("torn") == (
        "Card 1 is set aside: torn. next= finished; carrying no condition again."
    )


def test_another_stretch_ends_the_first_and_a_bare_number_counts_anew(desk):
    desk.carry("ex")
    desk.carry("next=5 nm")
    desk.carry("next=4 gold")
    assert (carried(desk), left(desk)) == ({"condition": "Excellent", "parallel": "Gold"}, 4)
    assert desk.carry("next=9") == "Carrying for the next 9 cards: the same."
    assert (carried(desk)["parallel"], left(desk)) == ("Gold", 9)


def test_next_alone_ends_a_stretch(desk):
    desk.carry("next=5 nm")
    assert desk.drop("next") == "next= finished; carrying no condition again."
    assert desk.view.cursor.carried == Carried()
    with pytest.raises(Refused):
        desk.drop("next")


def test_what_is_dropped_in_a_stretch_does_not_come_back(desk):
    desk.carry("ex at=box 1")
    desk.carry("next=1 nm at=box 2")
    desk.drop("place")
    take(desk, "set=87 1")
    assert carried(desk) == {"condition": "Excellent", "set": LIGHT}


@pytest.mark.parametrize("count", ["", "0", "-3", "x", "10000", "1e3", "٣"])
def test_no_number_of_cards_is_refused(desk, count):
    before = facts(desk)
    with pytest.raises(Refused, match="from 1 to 9999"):
        desk.carry(f"nm next={count}")
    assert facts(desk) == before


def test_a_count_without_anything_to_carry_is_refused(desk):
    with pytest.raises(Refused, match="Type what to carry"):
        desk.carry("next=3")


def test_enter_takes_no_stretch_and_the_panel_says_what_f5_does(desk):
    found = desk.proposals.of("next=60 set=87 gold nm 3")
    assert found.deed is Deed.REFUSE
    assert found.why == "F5 carries it for the next 60 cards"
    assert (found.candidate.tags.number, found.candidate.tags.parallel) == ("3", "Gold")


def test_the_number_is_found_wherever_it_stands():
    assert read_next("next=60 gold") == ("gold", 60)
    assert read_next("gold next=60 at=box 3") == ("gold at=box 3", 60)
    assert read_next("gold at=box 3 next=60") == ("gold at=box 3", 60)
    assert read_next("team=next gold") == ("team=next gold", None)


VALUES = st.sampled_from(["", "a", "b"])
FOUND = st.dictionaries(st.sampled_from(CARRIED_FIELDS), VALUES, min_size=1)


@given(
    st.lists(st.tuples(st.sampled_from(CARRIED_FIELDS), VALUES), max_size=6),
    FOUND,
    st.integers(1, 20),
)
def test_law_a_stretch_that_runs_out_leaves_no_trace(before, found, count):
    start = Carried()
    for name, value in before:
        start = start.put(name, value)
    now = carried_on(start, found, count)
    assert all(now.get(name) == value for name, value in found.items())
    for more in range(count, 0, -1):
        assert now.stretch is not None
        assert now.stretch.left == more
        now = counted(now)
    assert dict(now.pairs) == dict(start.pairs)
    assert now.stretch is None


@given(FOUND, FOUND, st.integers(1, 20), st.sampled_from(CARRIED_FIELDS))
def test_law_what_is_said_without_a_count_outlives_the_stretch(found, later, count, gone):
    now = dropped(carried_on(carried_on(Carried(), found, count), later, None), gone)
    after = ended(now)
    assert after.stretch is None
    assert after.get(gone) == ""
    assert all(after.get(name) == value for name, value in later.items() if name != gone)


@given(
    st.dictionaries(st.sampled_from(CARRIED_FIELDS), st.text(min_size=1, max_size=5)),
    st.integers(1, 9999),
    FOUND,
)
def test_law_a_desk_is_the_same_after_its_document(pairs, count, found):
    desk = Cursor(
        4, Carried(tuple(pairs.items()), CarriedRun(count, tuple(found), tuple(found.items())))
    )
    assert read_cursor(cursor_document(desk)) == desk
    assert "stretch" not in cursor_document(Cursor(4, Carried(tuple(pairs.items()))))


@pytest.mark.parametrize(
    "stretch",
    [{"left": 0, "fields": ["set"], "before": []}, {"left": 2, "fields": ["shoe"], "before": []},
     {"left": 2, "fields": [], "before": []}],
)  # fmt: skip
def test_no_stretch_is_read_as_one(stretch):
    with pytest.raises(ValueError, match="next= range"):
        read_cursor({"position": 1, "carried": [], "stretch": stretch})


STEPS = st.lists(
    st.sampled_from(
        [
            "next=1 nm",
            "next=2 gold",
            "ex",
            "next",
            "1",
            "2 silver",
            "aside",
            "undo",
            "redo",
            "go",
            "clear",
        ]
    ),
    max_size=14,
)


def done(session: Session, step: str) -> None:
    try:
        if step.startswith("next="):
            session.carry(step)
        elif step in ("undo", "redo", "clear"):
            getattr(session, step)()
        elif step == "ex":
            session.carry(step)
        elif step == "next":
            session.drop(step)
        elif step == "aside":
            session.set_aside("")
        elif step == "go":
            session.go(1)
        else:
            take(session, f"set=87 {step}")
    except (Refused, IndexError):
        pass


@given(STEPS)
@settings(max_examples=40)
def test_law_memory_and_disk_agree_and_undo_leads_back(steps):
    with tempfile.TemporaryDirectory() as folder:
        session = opened(Path(folder))
        plain = Session(MemoryStore(), clock=lambda: 1000.0)
        plain.candidates.matcher = MATCHER
        plain.take_in([f"scan_{number}.jpg" for number in range(1, 13)])
        for step in steps:
            done(session, step)
            done(plain, step)
            assert facts(session) == facts(plain)
        session.close()
        assert kept(Path(folder)) == facts(plain)[:-1]
        while plain.last_change():
            plain.undo()
        assert plain.view.cursor.carried == Carried()
