"""Opening a lot whose files another hand, another program or a bad disk has been at."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from pathlib import Path

import pytest

from tagger.core.session.session import Session
from tagger.errors import LotError, NotSaved
from tagger.store.lot.journal import encode
from tagger.store.lot.lot_file import LotFile, look, read_lot
from tagger.store.lot.repair import repair
from tagger.store.lot.troubles import trouble_of

SCANS = [f"scan_{number}.jpg" for number in range(1, 7)]


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A lot of three cards, the first tagged, closed in order."""
    session = Session(LotFile(tmp_path, "box 12"), clock=lambda: 1000.0)
    session.take_in(SCANS)
    session.take_unlisted("7 marsh")
    session.close()
    return tmp_path


def contents(home: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in home.iterdir() if path.name != ".lot.lock"}


def first(home: Path) -> str:
    """The first card's subject as the files say."""
    return read_lot(home).card_at(1).mark.tags.subject


def edit(home: Path, change: Callable[[dict], object]) -> None:
    """Change `lot.json` as another program would."""
    document = json.loads((home / "lot.json").read_bytes())
    change(document)
    (home / "lot.json").write_text(json.dumps(document))


DAMAGE: dict[str, Callable[[bytes], bytes]] = {
    "empty": lambda file: b"",
    "half": lambda file: file[: len(file) // 2],
    "a list": lambda file: b"[]",
    "a number": lambda file: b"7",
    "deep": lambda file: b"[" * 100_000,
    "no UTF-8": lambda file: b"\xff\xfe" + file,
    "no tables": lambda file: b'{"cards": 7}',
    "no lot": lambda file: b'{"cards": {"1": {}}}',
}
IN_PLACE: dict[str, Callable[[bytes], bytes]] = {
    "a card that is none": lambda file: file.replace(b'"order":[1', b'"order":["x"'),
    "a side order that is none": lambda file: file.replace(b'"front, back"', b'"sideways"'),
    "a subject that is no text": lambda file: file.replace(b'"subject":"Marsh"', b'"subject":[1]'),
    "a state that is none": lambda file: file.replace(b'"state":"tagged"', b'"state":"lost"'),
    "a position that is none": lambda file: file.replace(b'"position":2', b'"position":"x"'),
    "cards of another kind": lambda file: file.replace(b'"cards":{', b'"cards":{"x":[],'),
}


@pytest.mark.parametrize("damage", DAMAGE)
def test_a_damaged_file_is_made_again_from_the_journal(home, damage):
    whole = contents(home)
    (home / "lot.json").write_bytes(DAMAGE[damage](whole["lot.json"]))
    store = LotFile(home, "box 12")
    assert any("nothing is lost" in note for note in store.notes)
    session = Session(store)
    assert session.view.card_at(1).mark.tags.subject == "Marsh"
    assert session.last_change()
    session.close()
    assert (
        json.loads((home / "lot.json").read_bytes())["cards"]
        == json.loads(whole["lot.json"])["cards"]
    )


def test_a_file_that_is_gone_is_made_again_from_the_journal(home):
    (home / "lot.json").unlink()
    LotFile(home, "box 12").close()
    assert json.loads((home / "lot.json").read_bytes())["cards"]["1"]["subject"] == "Marsh"


@pytest.mark.parametrize("damage", [*DAMAGE, *IN_PLACE])
def test_a_damaged_file_without_a_journal_is_refused_and_left_alone(home, damage):
    (home / "lot.journal").unlink()
    whole = (home / "lot.json").read_bytes()
    broken = (DAMAGE | IN_PLACE)[damage](whole)
    assert broken != whole
    (home / "lot.json").write_bytes(broken)
    for _ in range(2):
        with pytest.raises(LotError, match="is damaged"):
            LotFile(home, "box 12")
    assert contents(home) == {"lot.json": broken}
    (home / "lot.json").write_bytes(whole)
    LotFile(home, "box 12").close()


def test_a_file_that_another_hand_changed_is_not_opened_unasked(home):
    edit(home, lambda document: document["cards"]["1"].update(subject="Lund"))
    before = contents(home)
    with pytest.raises(LotError, match=r"edited outside tagger \(1 difference.*card 1: subject is"):
        LotFile(home, "box 12")
    assert contents(home) == before


def test_a_newer_format_is_refused_and_left_alone(home):
    edit(home, lambda document: document["state"]["1"].update(format=3))
    before = contents(home)
    with pytest.raises(LotError, match="newer tagger"):
        LotFile(home, "box 12")
    assert contents(home) == before


def test_a_damaged_journal_is_for_looking_only_and_left_alone(home):
    journal = (home / "lot.journal").read_bytes()
    at = journal.index(b'"label":"card 1')
    (home / "lot.journal").write_bytes(journal[:at] + b"X" + journal[at + 1 :])
    before = contents(home)
    session = Session(LotFile(home, "box 12"))
    assert "lot.journal is damaged in line" in session.looking
    assert session.view.card_at(1).mark.tags.subject == "Marsh"
    with pytest.raises(NotSaved):
        session.take_unlisted("8 lund")
    session.close()
    assert contents(home) == before


def test_a_journal_of_another_lot_is_refused(home, tmp_path_factory):
    other = tmp_path_factory.mktemp("other")
    session = Session(LotFile(other, "box 13"))
    session.take_in(SCANS)
    session.close()
    (home / "lot.journal").write_bytes((other / "lot.journal").read_bytes())
    before = contents(home)
    with pytest.raises(LotError, match="different lots"):
        LotFile(home, "box 12")
    assert contents(home) == before


def test_a_lot_without_its_journal_keeps_its_tags(home):
    (home / "lot.journal").unlink()
    store = LotFile(home, "box 12")
    assert any("lot.journal is missing" in note for note in store.notes)
    session = Session(store)
    assert session.last_change() == ""
    session.take_unlisted("8 lund")
    session.close()
    cards = json.loads((home / "lot.json").read_bytes())["cards"]
    assert [card.get("subject") for card in cards.values()] == ["Marsh", "Lund", None]


def test_fields_that_another_program_added_are_kept(home):
    (home / "lot.journal").unlink()
    edit(home, lambda document: document["cards"]["1"].update(shelf={"row": 3}, price=2.5))
    edit(home, lambda document: document["state"]["1"].update(colour="blue"))
    session = Session(LotFile(home, "box 12"))
    session.go(1)
    session.clear()
    session.take_in([*SCANS, "scan_7.jpg"])
    session.close()
    (home / "lot.json").unlink()
    LotFile(home, "box 12").close()
    document = json.loads((home / "lot.json").read_bytes())
    card = document["cards"]["1"]
    assert (card["shelf"], card["price"], card["state"]) == ({"row": 3}, 2.5, "untagged")
    assert document["state"]["1"]["colour"] == "blue"


OLD = {
    "lot": {
        "1": {"format": 1, "lot": "box 12", "sides": "front, back", "order": [1, 2], "next_id": 3,
        "undone": 1,
              "checklists": ["/lists/harbor.csv"], "saved": 1, "position": 2, "carried": [["set",
              "Harbor"]]},
    },
    "cards": {
        "1": {"front": "1.jpg", "back": "2.jpg", "state": "tagged", "subject": "Ada Marsh",
        "shelf": 3},
        "2": {"front": "3.jpg", "state": "untagged"},
    },
    "changes": {
        "1": {"label": "card 1: Ada Marsh, base", "at": 1.0, "before": {"position": 1,
        "carried": []},
              "after": {"position": 2, "carried": [["set", "Harbor"]]},
              "marks": [[1, {"state": "untagged"}, {"state": "tagged", "subject": "Ada Marsh"}]]},
        "2": {"label": "card 2: Bo Lund, base", "at": 2.0, "before": {"position": 2,
        "carried": [["set", "Harbor"]]},
              "after": {"position": 3, "carried": [["set", "Harbor"]]},
              "marks": [[2, {"state": "untagged"}, {"state": "tagged", "subject": "Bo Lund"}]]},
    },
}  # fmt: skip


def test_a_lot_of_the_first_format_keeps_tags_history_and_added_fields(tmp_path):
    (tmp_path / "lot.json").write_text(json.dumps(OLD))
    before = contents(tmp_path)
    assert look(tmp_path).kept.lot.card_at(1).mark.tags.subject == "Ada Marsh"
    assert contents(tmp_path) == before
    session = Session(LotFile(tmp_path, "box 12"))
    assert (tmp_path / "lot.json.format-1").read_bytes() == before["lot.json"]
    assert (session.view.cursor.position, session.view.cursor.carried.get("set")) == (2, "Harbor")
    assert session.view.checklists == ("/lists/harbor.csv",)
    assert session.redo() == "Redone: card 2: Bo Lund, base."
    assert session.view.card_at(2).mark.tags.subject == "Bo Lund"
    session.undo()
    session.undo()
    assert session.view.counts().untagged == 2
    session.close()
    assert json.loads((tmp_path / "lot.json").read_bytes())["cards"]["1"]["shelf"] == 3


def test_file_names_that_are_no_utf_8_come_back_as_they_are(tmp_path):
    names = [os.fsdecode(b"scan_\xff1.jpg"), os.fsdecode(b"scan_\xff2.jpg"), "scän\n\x1b[31m_3.jpg"]
    session = Session(LotFile(tmp_path, "box 12"))
    session.take_in(names)
    session.close()
    for _ in range(2):
        found = read_lot(tmp_path)
        assert {name for pair in found.arrangement.pairs for name in pair[1:]} == {*names, None}
        (tmp_path / "lot.json").unlink(missing_ok=True)
    assert (tmp_path / "lot.journal").read_bytes().isascii()


def _covering(covers: int, n: int) -> Callable[[Path], None]:
    def change(home: Path) -> None:
        place = {"covers": covers, "n": n}
        edit(home, lambda document: document["state"]["1"]["journal"].update(place))

    return change


def _in_journal(change: Callable[[bytes], bytes]) -> Callable[[Path], None]:
    def changed(home: Path) -> None:
        (home / "lot.journal").write_bytes(change((home / "lot.journal").read_bytes()))

    return changed


def _torn(home: Path) -> None:
    _in_journal(lambda file: file + b'["00000000",{"n":')(home)


# the cases of `_RecoveryReader._case`: what was done to the files, and what is found
CASES: dict[str, tuple[Callable[[Path], object], str]] = {
    "sealed": (lambda home: None, "whole"),
    "sealed, a line unfinished": (_torn, "noted"),
    "damaged": (_in_journal(lambda file: file.replace(b"7 marsh", b"8 marsh", 1)[3:]), "trouble"),
    "damaged beside a seal": (_in_journal(lambda file: file.replace(b"#7", b"#8", 1)), "trouble"),
    "shorter": (_covering(1 << 20, 1 << 10), "trouble"),
    "edited": (
        lambda home: edit(home, lambda document: document["cards"]["1"].update(note="x")),
        "edited",
    ),
    "new: no lot.json": (lambda home: (home / "lot.json").unlink(), "noted"),
    "new: no place of this journal": (_covering(17, 1), "noted"),
}


@pytest.mark.parametrize("case", CASES)
def test_each_case_of_the_two_files_is_told_as_what_it_is(home, case):
    done, kind = CASES[case]
    done(home)
    found = look(home)
    said = {
        "trouble": bool(found.trouble),
        "edited": bool(found.edited),
        "noted": bool(found.notes),
    }
    assert [name for name, so in said.items() if so] == [kind] * (kind != "whole")
    assert found.kept.lot.card_at(1).mark.tags.subject == "Marsh"


def _no_part(record: dict) -> None:
    record |= {"k": "part", "part": "K7;"}


def _no_scan_of_a_divider(record: dict) -> None:
    record["arrangement"]["mending"] = {"dividers": [["", "", "a code"]]}


def _cards_that_are_none(record: dict) -> None:
    cards = {"1": {"front": "scan_1.jpg", "state": "tagged", "running": "x"}}
    state = {"format": 2, "lot": "box 12", "sides": "front, back", "order": [1], "next_id": 2}
    record |= {"k": "base", "tables": {"state": {"1": state}, "cards": cards}}


def _side_that_is_none(record: dict) -> None:
    _cards_that_are_none(record)
    record["tables"]["cards"]["1"] = {"front": 1.5, "state": "untagged"}


@pytest.mark.parametrize(
    "change", [_no_part, _no_scan_of_a_divider, _cards_that_are_none, _side_that_is_none]
)
def test_a_record_that_says_nothing_of_a_lot_is_damage_for_all_its_right_checksum(home, change):
    lines = (home / "lot.journal").read_bytes().splitlines(keepends=True)
    at = next(number for number, line in enumerate(lines) if b'"intake"' in line)
    record = json.loads(lines[at])[1]
    change(record)
    lines[at] = encode(record)
    (home / "lot.journal").write_bytes(b"".join(lines))
    (home / "lot.json").unlink()
    assert f"line {at + 1}" in trouble_of(look(home))


def test_a_stamp_without_end_is_none_and_the_lot_is_read(home):
    stamp = {"scan": "scan_1.jpg", "size": 1, "time": float("inf"), "digest": ""}
    edit(home, lambda document: document.update(scans={"1": stamp}))
    (home / "lot.journal").unlink()
    assert first(home) == "Marsh"


def test_a_mark_that_is_none_in_a_file_that_nothing_vouches_for_is_damage(home):
    # one bit of the journal's last line, and with it the word on what lot.json has
    journal = bytearray((home / "lot.journal").read_bytes())
    journal[journal.index(b'"intake"')] ^= 1
    (home / "lot.journal").write_bytes(journal)
    edit(home, lambda document: document["cards"]["1"].update(parallel=1.5))
    assert ", and so is lot.json; tagger repair" in trouble_of(look(home))
    assert read_lot(home).arrangement.pairs == ()
    repair(home, "box 12")
    assert not trouble_of(look(home))
    assert {path.name for path in home.glob("*.damaged-1")} == {
        "lot.json.damaged-1",
        "lot.journal.damaged-1",
    }
