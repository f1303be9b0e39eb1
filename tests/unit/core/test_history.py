"""The history: the changes that stand and those that were undone, read from the journal, and in
words."""

from __future__ import annotations

import tempfile
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support.at_work import LIGHT, opened, take
from support.memory import MemoryStore
from textual.geometry import Size

from tagger.core.lot.carried import Carried, Cursor
from tagger.core.lot.change import Change
from tagger.core.lot.history import card_of, words
from tagger.core.lot.ports import LotStore
from tagger.core.model.arrangement import Arrangement, Pair
from tagger.core.model.side_order import SideOrder
from tagger.core.model.tags import Mark, Marking, State, Tags
from tagger.core.session.session import Session
from tagger.errors import Refused
from tagger.store.lot.lot_file import LotFile
from tagger.ui import theme
from tagger.ui.desk.modes.history import HistoryMode
from tagger.ui.desk.modes.history_list import History
from tagger.ui.hint_line import HintLine
from tagger.ui.keys import Keymap
from tagger.ui.widgets.line_box import LineBox

MARSH = Mark(State.TAGGED, Tags(LIGHT, "23", "Ada Marsh"))


def all_of(store: LotStore, undone: bool, page: int) -> list[Change]:
    """All changes, read a page at a time."""
    found: list[Change] = []
    onward: int | None = None
    while onward != 0:
        past = store.history(page, undone, onward)
        assert len(past) <= page
        found += [one.change for one in past]
        onward = past[-1].onward if past else 0
    return found


@settings(max_examples=60)
@given(
    st.lists(st.sampled_from(("do", "undo", "undo", "redo", "open")), max_size=30),
    st.integers(1, 5),
)
def test_the_history_is_what_was_done_and_undone_in_any_order(steps, page):
    """Held against two lists in memory, which know nothing of journals and links."""
    with tempfile.TemporaryDirectory() as folder:
        plain, store = MemoryStore(), LotFile(Path(folder), "box 12")
        for number, step in enumerate(steps):
            if step == "do":
                change = Change(
                    f"change {number}", float(number), store.lot.cursor, Cursor(number + 2)
                )
                plain.enter(change)
                store.enter(change)
            elif step == "open":
                store.close()
                store = LotFile(Path(folder), "box 12")
            else:
                assert getattr(store, step)() == getattr(plain, step)()
            for undone, known in ((False, plain.done), (True, plain.undone)):
                assert all_of(store, undone, page) == known[::-1] == all_of(plain, undone, page)
        store.close()


def test_a_damaged_record_ends_the_history(tmp_path):
    store = LotFile(tmp_path, "box 12")
    for number in range(5):
        store.enter(Change(f"change {number}", 1.0, Cursor(1), Cursor(1)))
    assert len(store.history(9)) == 5
    data = (tmp_path / "lot.journal").read_bytes()
    (tmp_path / "lot.journal").write_bytes(data.replace(b'"change 2"', b'"change X"'))
    assert [past.change.label for past in store.history(9)] == ["change 4", "change 3"]
    store.close()


def change(before: Mark, after: Mark) -> Change:
    return Change("as labelled", 1.0, Cursor(9), Cursor(10), (Marking(4, before, after),))


@pytest.mark.parametrize(
    ("before", "after", "said"),
    [
        (Mark(), MARSH, "#23 Ada Marsh, base, was untagged"),
        (
            Mark(),
            Mark(State.TAGGED, MARSH.tags, unsure=True),
            "#23 Ada Marsh, base, unsure, was untagged",
        ),
        (MARSH, Mark(State.TAGGED, Tags(LIGHT, "23", "Ada Marsh", "", "Gold")), "Gold, was base"),
        (
            Mark(State.TAGGED, Tags(LIGHT, "23", "Ada Marsh", serial="1/9", place="box 3")),
            Mark(
                State.TAGGED,
                Tags(LIGHT, "23", "Ada Marsh", condition="Poor", extra=(("price", "2"),)),
            ),
            "no serial number, was 1/9; Poor, was no condition; no place, was place box 3; price "
            "2, was empty",
        ),
        (
            MARSH,
            Mark(State.TAGGED, Tags(LIGHT, "24", "Bo Lund")),
            "#24 Bo Lund, base, was #23 Ada Marsh, base",
        ),
        (
            MARSH,
            Mark(State.SET_ASIDE, MARSH.tags, "bent"),
            "set aside: bent, was #23 Ada Marsh, base",
        ),
        (Mark(State.TAGGED, MARSH.tags, unsure=True), MARSH, "confirmed, was unsure"),
        (MARSH, Mark(State.TAGGED, MARSH.tags, confirmed=True), "confirmed"),
        (MARSH, MARSH, "accepted again"),
        (MARSH, replace(MARSH, gone="sold"), "sold"),
        (replace(MARSH, gone="sold"), MARSH, "returned"),
        (replace(MARSH, gone="sold"), replace(MARSH, gone="pulled"), "pulled"),
        (
            Mark(State.TAGGED, MARSH.tags, unsure=True),
            replace(MARSH, gone="sold"),
            "confirmed, was unsure; sold",
        ),
        (
            replace(MARSH, gone="sold"),
            Mark(State.TAGGED, replace(MARSH.tags, condition="Poor")),
            "Poor, was no condition; returned",
        ),
    ],
)
def test_a_change_says_what_it_was_and_what_it_is_now(before, after, said):
    assert words(change(before, after), {4: 41}) == f"card 41: {said}"
    assert words(change(before, after), {}) == f"a removed card: {said}"


def test_other_changes_have_their_words_and_their_card():
    carried = Change(
        "carry",
        1.0,
        Cursor(3, Carried((("place", "box 1"),))),
        Cursor(3, Carried((("set", LIGHT),))),
    )
    assert (
        words(carried, {1: 1})
        == f"from card 3 on: set {LIGHT} carried, was none; no place carried, was box 1"
    )
    turned = Arrangement(SideOrder.ALTERNATE, (Pair(1, "a", "b"),))
    label = "cards 90 to 120: backs rotated 180°"
    mended = Change(label, 1.0, Cursor(3), Cursor(3), (), (turned, turned))
    positions = {id: id for id in range(1, 200)}
    assert (words(mended, positions), card_of(mended, positions)) == (label, 90)
    assert card_of(carried, positions) == 3
    assert card_of(change(Mark(), MARSH), {4: 41}) == 41
    assert card_of(change(Mark(), MARSH), {5: 41}) is None


@pytest.fixture
def long(tmp_path):
    """A lot of six cards with 300 changes, the last three undone."""
    desk = opened(tmp_path)
    for number in range(300):
        desk.go(number % 6 + 1)
        desk.set_aside(f"reason {number}")
    for _ in range(3):
        desk.undo()
    yield desk
    desk.close()


def shown(past: History) -> list[str]:
    return [line.plain for line in past.lines(Keymap(), 80, 19)]


def test_the_list_is_read_as_far_as_it_is_looked_at(long):
    asked: list[int] = []
    read = long.history
    long.history = lambda limit, undone=False, onward=None: (
        asked.append(limit) or read(limit, undone, onward)
    )
    past = History(long)
    past.open()
    lines = shown(past)
    assert "reason 296" in lines[3]
    assert lines[-4].startswith(" undone: 3")
    assert [line.rsplit("reason ")[1][:3] for line in lines[-3:]] == ["297", "298", "299"]
    assert sum(asked) < 100


def test_the_change_looked_at_is_always_on_the_list_and_moves_end_where_the_list_does(long):
    past = History(long)
    past.open()
    for number in range(296, 0, -1):
        assert f"reason {number}," in past.here.words
        assert any(line.startswith("▸") and f"reason {number}," in line for line in shown(past))
        past.step(1)
    past.step(1)
    assert (past.below, past.here.words.partition(", was")[0]) == (
        True,
        "card 4: set aside: reason 297",
    )
    past.step(-1)
    assert (past.below, past.at) == (False, 0)
    past.step(-1)
    assert "reason 299" in past.here.words
    past.step(1)
    for _ in range(60):
        past.turn(1)
    assert "reason 0," in past.here.words
    for _ in range(60):
        past.turn(-1)
    assert past.at == 0


def test_the_list_is_there_before_its_box_has_been_laid_out(long):
    past, box = History(long), LineBox(theme.PLAIN, "past")
    assert not box.size
    desk = SimpleNamespace(
        session=long,
        keys=Keymap(),
        size=Size(80, 24),
        hint=SimpleNamespace(line=HintLine()),
        boxes=SimpleNamespace(past=box),
        draw_frame=lambda hint, keys: None,
    )
    HistoryMode(desk).draw()
    assert [line.plain for line in box._lines] == shown(past)


def test_an_empty_history_says_so():
    past = History(Session(MemoryStore()))
    past.open()
    assert past.here is None
    past.step(1)
    past.turn(-1)
    assert "No changes yet" in "".join(shown(past))


def test_the_day_is_told_where_it_changes(tmp_path):
    noon = 86400.0 * 10 + 43200
    now = [noon]
    desk = Session(MemoryStore(), clock=lambda: now[0])
    desk.take_in([f"scan_{number}.jpg" for number in range(1, 9)])
    for now[0] in (noon, noon + 60, noon + 86400.0 * 2):
        desk.set_aside("look")
    past = History(desk)
    past.open()
    days = [line for line in shown(past) if "1970" in line]
    assert [day.split()[1:] for day in days] == [
        ["13", "January", "1970"],
        ["11", "January", "1970"],
    ]


def test_undo_is_refused_where_there_is_nothing(tmp_path):
    desk = opened(tmp_path)
    with pytest.raises(Refused):
        desk.undo()
    take(desk, "set=87 1")
    assert [past.change.label for past in desk.history(5)] == ["card 1: #1 Ada Marsh, base"]
    desk.close()
