"""What the panel and the key line say of a hint: how sure it is, which place, which keys are of
use."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from support.at_work import opened, take
from support.memory import MemoryStore

from tagger.core.checklist.checklist import Checklist
from tagger.core.index.index import Index
from tagger.core.matching.candidate import Candidate
from tagger.core.matching.matcher import Matcher
from tagger.core.model.tags import Row, Tags
from tagger.core.session.session import Session
from tagger.ui.desk.blocks.candidates import CandidateRows
from tagger.ui.desk.blocks.carried import carried
from tagger.ui.desk.modes.unlisted_lines import panel_with_unlisted
from tagger.ui.desk.status_lines import key_line
from tagger.ui.keys import Keymap

KEYS = Keymap()


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Session]:
    session = opened(tmp_path)
    take(session, "set=87 1")
    yield session
    session.close()


def _panel(session: Session, hint: str, width: int = 60, height: int = 24) -> list[str]:
    proposal = session.proposals.of(hint)
    lines = panel_with_unlisted(session, proposal, KEYS, width, height)
    return [line.plain.rstrip() for line in lines]


def _keys(session: Session, hint: str = "") -> str:
    return key_line(session, session.proposals.of(hint), hint, KEYS, 200).plain


def test_a_card_that_enter_does_not_accept_is_neither_sure_nor_unsure(desk):
    for hint in ("2 100/99", "2 gold 12/99 zzqx"):
        head = _panel(desk, hint)[0]
        assert head.startswith("Enter does not accept")
        assert "sure" not in head


def test_unsure_is_never_said_to_be_a_hundred(desk):
    for hint in ("bo", "lund gold", "gil norret", "ada", "mill 3", "3 go"):
        assert "unsure 100%" not in _panel(desk, hint)[0]


def test_nothing_is_sure_beside_a_doubt():
    session = Session(MemoryStore(), clock=lambda: 1.0)
    session.candidates.matcher = Matcher(
        Index(
            Checklist([Row("Harbor", str(number), f"N{number} Lund") for number in range(1, 200)])
        )
    )
    session.take_in([f"scan_{number}.jpg" for number in range(1, 41)])
    for number in range(20, 28):
        take(session, f"#{number}")
    lines = _panel(session, "#82 n82")
    assert any("#82 is out of sequence" in line for line in lines)
    assert lines[0].endswith(" check again")
    assert _panel(session, "#28")[0].endswith(" sure")


def test_on_a_tagged_card_the_chance_is_said_before_enter():
    session = Session(MemoryStore(), clock=lambda: 1.0)
    rows = [Row("Harbor", str(number), f"Ash N{number}l") for number in range(1, 30)]
    session.candidates.matcher = Matcher(Index(Checklist(rows)))
    session.take_in(["scan_1.jpg", "scan_2.jpg"])
    take(session, "#20")
    session.go(1)
    assert " of 9" in _panel(session, "ash")[0]
    for width in (60, 42, 36):
        head = _panel(session, "ash", width)[0]
        assert head.startswith("Enter changes this card")
        assert "unsure" in head


def test_words_of_the_copy_alone_leave_the_card_that_comes_next(desk):
    take(desk, "4")
    take(desk, "2")
    assert not desk.candidates.of("ex")[0].sure
    assert _panel(desk, "ex")[0].endswith(" likely next")
    desk.accept("ex")
    assert not desk.view.card_at(4).mark.unsure


def test_a_place_that_was_typed_for_the_card_is_shown_with_it(desk):
    assert " place: box 2" in _panel(desk, "2 at=box 2")
    desk.carry_off("at=box 2")
    assert " place: box 2" not in _panel(desk, "2")
    assert " place: box 7" in _panel(desk, "2 at=box 7")


def test_a_name_that_went_to_the_set_is_missed_beforehand(desk):
    missed = " No name: type name=… as well."
    assert missed in _panel(desk, "900 set=1994 ridge line nora vell teal 3/5")
    assert missed not in _panel(desk, "900 nora vell teal 3/5 set=1994 ridge line")


def test_the_key_for_the_next_untagged_card_is_shown_while_there_is_one(desk):
    desk.go(1)
    assert "Tab next untagged" in _keys(desk)
    for number in range(2, 7):
        desk.go(number)
        take(desk, str(number))
    desk.go(1)
    assert "Tab" not in _keys(desk)
    desk.go(7)
    assert "Tab" not in _keys(desk)
    assert "Ctrl+V review" in _keys(desk)


def test_a_card_set_aside_says_its_reason_once_in_the_review(desk):
    desk.set_aside("crease at the top")
    assert desk.review.next().startswith("Card 2: set aside · ")
    lines = _panel(desk, "")
    assert sum("crease at the top" in line for line in lines) == 1
    assert any("in review, 1 left" in line for line in lines)


def test_a_card_set_aside_with_tags_shows_them_and_the_key_that_tags_it_again(desk):
    take(desk, "3 nm at=box 4")
    desk.go(2)
    desk.set_aside("crease at the top")
    desk.go(2)
    text = "\n".join(_panel(desk, ""))
    for said in ("keeps it as it is", "#3", "Near Mint", "place: box 4", "crease at the top"):
        assert said in text
    assert "F2 tag again" in _keys(desk)
    changed = "\n".join(_panel(desk, "poor"))
    assert "Enter changes this card" in changed
    assert "state: set aside: crease at the top → tagged" in changed
    assert "condition: Near Mint → Poor" in changed


def test_another_card_in_its_place_is_shown_as_a_change_as_well(desk):
    take(desk, "3 nm")
    desk.go(2)
    text = "\n".join(_panel(desk, "1"))
    assert "Enter changes this card" in text
    assert "number: 3 → 1" in text


def test_the_series_is_shown_in_full_and_base_beside_it_is_not():
    rows = [
        Row("1931 Tidewater", str(number), f"{series} {number}", extra=(("Series", series),))
        for series in ("Flora", "Birds", "Harbours")
        for number in range(1, 9)
    ]
    session = Session(MemoryStore(), clock=lambda: 1.0)
    session.candidates.matcher = Matcher(Index(Checklist(rows)))
    session.take_in([f"scan_{number}.jpg" for number in range(1, 13)])
    listed = "\n".join(_panel(session, "4", width=44))
    for series in ("Flora", "Birds", "Harbours"):
        assert f"{series} 4 {series}" in listed


def test_a_fresh_lot_offers_neither_undo_nor_the_card_before(tmp_path):
    session = opened(tmp_path)
    assert "Ctrl+Z" not in _keys(session)
    assert "same again" not in _keys(session)
    take(session, "set=87 1")
    assert "Ctrl+Z undo" in _keys(session)
    assert "= same again" in _keys(session)
    session.close()


def test_two_rows_that_differ_in_their_condition_alone_say_it():
    rows = [
        Candidate(Tags("1987 Harbor Light", "18", "Ada Marsh", condition=condition), 0.5)
        for condition in ("Near Mint", "Fair")
    ]
    told = [line.plain for line in CandidateRows(rows, 0, 60).lines()]
    assert "base · Fair" in told[2]
    assert "Fair" not in CandidateRows([rows[1]], 0, 60).lines()[1].plain


def test_what_does_not_end_with_a_stretch_says_so(desk):
    desk.carry("ex")
    desk.carry("next=3 gold")
    text = "\n".join(line.plain for line in carried(desk.view.carried, 60).forms[0])
    assert "for the next 3 cards" in text
    assert "condition Excellent (after, too)" in text
    assert "parallel Gold\n" in f"{text}\n"


def test_a_row_that_tells_no_set_has_its_name_whole():
    own, other = "1987 Harbor Light", "1985 Harbor Light Commemorative Edition"
    rows = CandidateRows(
        [
            Candidate(Tags(set=own, number="48", subject="Merle Gorsedale"), 0.9),
            Candidate(Tags(set=other, number="48", subject="Anselm Lovage"), 0.1),
        ],
        0,
        41,
    ).lines()
    assert "Merle Gorsedale" in rows[1].plain
    assert "…" in rows[2].plain
    assert max(row.cell_len for row in rows) < 41
