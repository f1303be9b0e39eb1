"""The find screen's pure parts: the list and its cursor, its lines, who has how much room, which
search counts."""

from __future__ import annotations

import threading

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tagger.core.model.scan_ref import LotRef
from tagger.core.model.tags import Mark, State, Tags
from tagger.core.reports.card_search import SearchHit, lies
from tagger.ui.desk.layout import LINES
from tagger.ui.find import lines, list_lines
from tagger.ui.find.hit_list import HitList, choices
from tagger.ui.find.keys import FindAction, find_action
from tagger.ui.find.latest_only_worker import LatestOnlyWorker
from tagger.ui.find.layout import LIST, WIDE, room
from tagger.ui.find.ports import Copy, Finds
from tagger.ui.keys import Keymap

SUBJECTS = ("Ada Marsh", "Lee Gold", "Ivo \x1b[31m Lund", "灯台 灯台")


def copy(at: int, subject: str = "Ada Marsh", gone: str = "", place: str = "box 3, row 2") -> Copy:
    tags = Tags("1987 Harbor Light", "23", subject, "Gulls", "Gold", "12/99", "Near Mint", place)
    found = SearchHit(
        "lot", at, 412, 103, "#45", "#47", f"scan_{at}.jpg", "", Mark(State.TAGGED, tags, gone=gone)
    )  # fmt: skip
    return Copy(f"box {at % 3}", LotRef(f"/scans/{at % 3}", f"/lots/{at % 3}"), found)


def finds(words: str, *subjects: str, gone: tuple[int, ...] = ()) -> Finds:
    return Finds(
        words,
        tuple(
            copy(at, subject, "sold" if at in gone else "") for at, subject in enumerate(subjects)
        ),
    )


copies = st.lists(st.sampled_from(SUBJECTS), max_size=30)


@given(copies, st.lists(st.integers(-40, 40), max_size=6), st.integers(2, 12))
def test_the_cursor_is_always_seen_below_the_name_of_its_card(subjects, moves, rows):
    found = HitList()
    found.show(finds("a", *subjects))
    for by in [0, *moves]:
        found.move(by)
        page = found.page(rows)
        assert len(page) == min(rows, len(found.entries))
        if not subjects:
            assert found.here is None
            continue
        line = found.entries.index(found.at)
        assert line in page
        assert found.entries[line - 1] is not None or line - 1 in page
    names = [entry for entry in found.entries if entry is None]
    changes = sum(a != b for a, b in zip([None, *subjects], [*subjects, None], strict=True)) - bool(
        subjects
    )
    assert len(names) == changes
    assert [entry for entry in found.entries if entry is not None] == list(range(len(subjects)))


def test_other_words_go_to_the_best_card_and_the_same_words_stay_at_theirs():
    found = HitList()
    found.show(finds("a", *SUBJECTS))
    found.move(2)
    here = found.here
    found.show(Finds("a", (copy(9), *finds("a", *SUBJECTS, gone=(2,)).copies)))
    assert found.at == 3
    assert here is not None
    assert found.here is not None
    assert (found.here.key, found.here.card.mark.gone) == (here.key, "sold")
    found.show(finds("a"))
    assert found.here is None
    found.show(finds("ab", *SUBJECTS))
    assert found.at == 0


def test_what_is_there_and_what_left_are_counted_apart():
    found = HitList()
    found.show(finds("a", "Ada Marsh", "Ada Marsh", "Lee Gold", "Lee Gold", gone=(1, 3)))
    assert found.count() == (2, 2, 3)
    # copies of one card lie below one name
    assert found.entries == [None, 0, 1, None, 2, 3]
    line = lines.top(found, "a", "3 lots", 80).plain
    assert "2 cards in 3 lots · 2 sold or pulled" in line


@given(copies, st.integers(60, 200), st.sets(st.integers(0, 30)))
def test_no_line_is_wider_than_its_room_and_what_left_says_so(subjects, width, gone):
    found = HitList()
    found.show(finds("a", *subjects, gone=tuple(gone)))
    shown = list_lines.list_lines(found, width, 80)
    assert all(line.cell_len <= width for line in shown)
    text = "\n".join(line.plain for line in shown)
    assert text.count("sold") == sum(at in gone for at in range(len(subjects)))
    assert "\x1b" not in text


def test_the_line_below_the_list_says_where_a_card_lies_as_the_command_does():
    one = copy(127)
    assert (
        lies(one.card) == "box 3, row 2, card 127 of 412; 103 from the front, between #45 and #47"
    )
    assert lines.about(one, 200)[0].plain == f" {one.lot}: {lies(one.card)}"
    assert lies(copy(127, gone="pulled").card) == "box 3, row 2, card 127 of 412; pulled"
    assert list_lines.cells(one)[3:] == ("127 of 412", "103", "#45 and #47")


def test_each_card_can_be_marked_as_what_it_is_not():
    assert [choices(copy(1, gone=gone)) for gone in ("", "sold", "pulled")] == [
        ("sold", "pulled"), ("", "pulled"), ("", "sold"),
    ]  # fmt: skip


@given(st.integers(40, 300), st.integers(10, 100), st.booleans())
def test_list_and_pictures_fill_the_screen_and_never_more(width, height, instead):
    share = room(width, height, instead)
    across = share.view * (1 if share.stacked else 2)
    assert share.list + across <= width
    assert (share.view > 0) == (width >= WIDE or instead)
    if share.view and not instead:
        assert share.list + across == width
        assert share.list >= LIST
    assert (share.list > 0) != instead
    assert height > LINES


def test_the_keys_are_those_of_the_desk_where_both_have_them():
    assert all(one.keys == one.shared.keys for one in FindAction if one.shared is not None)
    keys = Keymap({"flip": ["f6"], "drop": []})
    assert [find_action(keys, key) for key in ("f6", "f7", "f4", "up", "enter", "a")] == [
        FindAction.FLIP, None, FindAction.MARK, FindAction.UP, FindAction.TAKE, None,
    ]  # fmt: skip


@pytest.mark.parametrize("fails", [False, True])
def test_only_what_was_asked_last_is_told(fails: bool):
    begun, go_on, told = threading.Event(), threading.Event(), threading.Event()
    searched: list[str] = []
    answers: list[object] = []

    def search(words: str) -> str:
        searched.append(words)
        begun.set()
        assert go_on.wait(20)
        if fails:
            raise ValueError(words)
        return words

    def tell(answer: str | Exception) -> None:
        answers.append(answer if isinstance(answer, str) else repr(answer))
        told.set()

    searching = LatestOnlyWorker(search, tell)
    searching.ask("m")
    assert begun.wait(20)
    for words in ("ma", "mar", "mars", "marsh"):
        searching.ask(words)
    go_on.set()
    assert told.wait(20)
    searching.close()
    assert searched == ["m", "marsh"]
    assert answers == ["ValueError('marsh')" if fails else "marsh"]
