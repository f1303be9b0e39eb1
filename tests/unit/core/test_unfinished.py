"""A hint that was typed when the lot was left: it is there again for its card, and for no other."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from support.at_work import opened, take

from tagger.core.session.arranging import arrange
from tagger.core.session.session import Session
from tagger.core.session.unfinished import Unfinished, UnfinishedHint
from tagger.store.lot.hint_file import HINT, LARGEST, HintFile


@pytest.fixture
def desk(tmp_path: Path):
    session = opened(tmp_path)
    take(session, "set=87 1")
    yield session
    session.close()


def left(session: Session, home: Path, text: str) -> None:
    hint = UnfinishedHint(session.view, HintFile(home))
    hint.note(text)
    hint.keep()


def begun(session: Session, home: Path) -> str:
    return UnfinishedHint(session.view, HintFile(home)).begun()


def test_it_is_there_again_for_its_card(desk, tmp_path):
    left(desk, tmp_path, "2 gold note=ärm")
    assert begun(desk, tmp_path) == "2 gold note=ärm"
    desk.go(1)
    assert begun(desk, tmp_path) == ""
    desk.go(2)
    arrange(desk, next(order for order in type(desk.view.sides) if order != desk.view.sides))
    assert begun(desk, tmp_path) == ""


def test_it_is_dropped_with_the_tag_and_with_the_text(desk, tmp_path):
    left(desk, tmp_path, "2 gold")
    take(desk, "2")
    desk.go(2)
    assert begun(desk, tmp_path) == ""
    left(desk, tmp_path, " ")
    assert not (tmp_path / HINT).exists()


def test_what_is_typed_elsewhere_takes_its_place_and_a_visit_does_not(desk, tmp_path):
    left(desk, tmp_path, "2 gold")
    desk.go(3)
    left(desk, tmp_path, "")
    desk.go(2)
    assert begun(desk, tmp_path) == "2 gold"
    desk.go(3)
    left(desk, tmp_path, "4")
    assert begun(desk, tmp_path) == "4"
    desk.go(2)
    assert begun(desk, tmp_path) == ""


def test_a_correction_of_a_tagged_card_is_kept_as_well(desk, tmp_path):
    desk.go(1)
    left(desk, tmp_path, "ex")
    assert begun(desk, tmp_path) == "ex"


def test_at_the_end_and_where_nothing_is_written_nothing_is_kept(desk, tmp_path):
    desk.go(7)
    left(desk, tmp_path, "2 gold")
    assert not (tmp_path / HINT).exists()
    hint = UnfinishedHint(desk.view, None)
    hint.note("2 gold")
    hint.keep()
    assert hint.begun() == ""


def document(**said: object) -> bytes:
    return json.dumps({"text": "2", "front": "a", "back": "b", "was": "untagged", **said}).encode()


@pytest.mark.parametrize(
    "data",
    [
        b"", b"{", b"\xff\xfe", b"[]", b"null", b"[" * 60000, b" " * (LARGEST + 1),
        document(text=7), document(front=None), document(text="\x1b\x07\n"), b'{"text": "2"}',
    ],
    ids=range(11),
)  # fmt: skip
def test_a_damaged_file_is_as_none(tmp_path, data):
    (tmp_path / HINT).write_bytes(data)
    assert HintFile(tmp_path).read() is None


def test_hostile_text_is_only_text(tmp_path):
    (tmp_path / HINT).write_bytes(document(text="2\x1b[31m\n\u202egold", front="\udcff.jpg"))
    assert HintFile(tmp_path).read() == Unfinished("2[31mgold", "\udcff.jpg", "b", "untagged")
    kept = Unfinished("2", "\udcff.jpg", "", "untagged")
    HintFile(tmp_path).keep(kept)
    assert HintFile(tmp_path).read() == kept
    (tmp_path / HINT).unlink()
    (tmp_path / HINT).mkdir()
    HintFile(tmp_path).keep(kept)  # not written, and nothing is said
    assert HintFile(tmp_path).read() is None
