"""Corners of the store: a disk that answers wrongly, damage at the worst place, a stop at the worst
moment."""

from __future__ import annotations

import errno
import json
import os
from pathlib import Path
from typing import Any

import pytest

from tagger.core.model.side_order import SideOrder
from tagger.core.session.arranging import arrange
from tagger.core.session.session import Session
from tagger.errors import LotError, NotSaved, Refused
from tagger.store.files import SystemFiles
from tagger.store.lot import recovery, repair
from tagger.store.lot.lot_file import LotFile, look, read_lot

SCANS = [f"scan_{number}.jpg" for number in range(1, 13)]


def opened(home: Path, files: SystemFiles | None = None) -> tuple[LotFile, Session]:
    """A lot of six cards, and the sitting at it."""
    store = LotFile(home, "box 12", files or SystemFiles())
    session = Session(store, clock=lambda: 1000.0)
    session.take_in(SCANS)
    return store, session


def tag(session: Session, *names: str) -> None:
    """Tag the next cards."""
    for name in names:
        session.take_unlisted(f"7 {name}")


def killed(store: LotFile) -> None:
    """What the system does when the program is killed: files and lock are let go of, and nothing is
    written."""
    assert store._journal is not None
    assert store._lock is not None
    store._journal.close()
    store._lock.release()


def subjects(home: Path) -> list[str]:
    """The cards' subjects as the files say, those without tags left out."""
    lot = read_lot(home)
    return [
        name for name in (lot.mark(pair.id).tags.subject for pair in lot.arrangement.pairs) if name
    ]


def damage(path: Path, place: int) -> None:
    """Turn over one bit of a byte."""
    data = bytearray(path.read_bytes())
    data[place] ^= 1
    path.write_bytes(data)


@pytest.mark.parametrize("name", ["lot.json", "lot.journal"])
def test_a_file_that_cannot_be_looked_for_is_not_taken_for_missing(tmp_path, monkeypatch, name):
    store, session = opened(tmp_path)
    tag(session, "marsh")
    session.settle()
    tag(session, "lund")
    killed(store)
    whole = {path.name: path.read_bytes() for path in tmp_path.glob("lot.*")}
    stat = os.stat

    def failing(path: Any, **options: Any) -> os.stat_result:
        if str(path).endswith(name):
            raise OSError(errno.EIO, os.strerror(errno.EIO))
        return stat(path, **options)

    with monkeypatch.context() as patched:
        patched.setattr(os, "stat", failing)
        with pytest.raises(LotError):
            LotFile(tmp_path, "box 12")
    assert {path.name: path.read_bytes() for path in tmp_path.glob("lot.*")} == whole
    assert subjects(tmp_path) == ["Marsh", "Lund"]


def test_a_lot_whose_journal_was_lost_is_not_lost_by_a_kill(tmp_path):
    store, session = opened(tmp_path)
    tag(session, "marsh")
    session.close()
    (tmp_path / "lot.journal").unlink()
    store, session = opened(tmp_path)
    tag(session, "lund")
    killed(store)
    store, session = opened(tmp_path)
    assert subjects(tmp_path) == ["Marsh", "Lund"]
    assert session.undo()
    session.close()


@pytest.mark.parametrize("take", [True, False])
def test_damage_in_the_last_line_of_a_large_journal_loses_nothing(tmp_path, monkeypatch, take):
    _, session = opened(tmp_path)
    tag(session, "marsh", "lund", "vos")
    session.close()
    damage(tmp_path / "lot.journal", -10)
    monkeypatch.setattr(recovery, "VERIFIED_AT_ONCE", 1000)
    assert not look(tmp_path).edited
    repair.repair(tmp_path, "box 12", take=take)
    assert subjects(tmp_path) == ["Marsh", "Lund", "Vos"]


def test_a_line_break_that_is_damaged_costs_no_more_than_the_lines_it_joins(tmp_path):
    store, session = opened(tmp_path)
    tag(session, "marsh", "lund", "vos", "kas")
    killed(store)
    data = (tmp_path / "lot.journal").read_bytes()
    damage(tmp_path / "lot.journal", data.index(b"\n", data.index(b'"k":"do"')))
    assert look(tmp_path).trouble
    assert subjects(tmp_path) == ["Vos", "Kas"]


def test_a_repair_that_is_stopped_at_any_call_loses_no_tag(tmp_path):
    class Stop(BaseException):
        pass

    class Stopping(SystemFiles):
        calls = 0

        def _count(self) -> None:
            self.calls -= 1
            if self.calls == 0:
                raise Stop

        def sync(self, fd: int) -> None:
            super().sync(fd)
            self._count()

        def replace(self, source: Path, target: Path) -> None:
            super().replace(source, target)
            self._count()

        def unlink(self, path: Path) -> None:
            super().unlink(path)
            self._count()

    for calls in range(1, 30):
        home = tmp_path / str(calls)
        home.mkdir()
        _, session = opened(home)
        tag(session, "marsh", "lund")
        session.close()
        journal = (home / "lot.journal").read_bytes()
        damage(home / "lot.journal", journal.index(b'"k":"base"'))
        damage(home / "lot.journal", journal.index(b'"k":"intake"'))
        assert subjects(home) == ["Marsh", "Lund"]
        files = Stopping()
        files.calls = calls
        try:
            repair.repair(home, "box 12", files=files)
        except Stop:
            assert subjects(home) == ["Marsh", "Lund"], f"stopped after call {calls}"
        else:
            break
    assert calls > 5


def test_a_journal_that_lost_its_end_opens_for_looking(tmp_path):
    _, session = opened(tmp_path)
    tag(session, "marsh", "lund", "vos")
    session.close()
    data = (tmp_path / "lot.journal").read_bytes()
    for size in range(1, data.index(b'"k":"kept"') - 30, 7):
        (tmp_path / "lot.journal").write_bytes(data[:size])
        store = LotFile(tmp_path, "box 12")
        assert store.looking
        assert store.lot.counts().tagged == 3
        store.close()


@pytest.mark.parametrize("meta", [[1], 7, "x", {"format": 2, "journal": [1]}])
def test_a_state_that_is_no_document_is_told(tmp_path, meta):
    _, session = opened(tmp_path)
    tag(session, "marsh")
    session.close()
    tables = json.loads((tmp_path / "lot.json").read_bytes())
    tables["state"]["1"] = meta
    (tmp_path / "lot.json").write_text(json.dumps(tables))
    store = LotFile(tmp_path, "box 12")
    assert any("nothing is lost" in note for note in store.notes)
    assert subjects(tmp_path) == ["Marsh"]
    store.close()


def test_a_place_that_is_damaged_is_no_edit_and_costs_no_change(tmp_path):
    store, session = opened(tmp_path)
    tag(session, "marsh")
    session.settle()
    tag(session, "lund", "vos")
    killed(store)
    main = (tmp_path / "lot.json").read_bytes()
    covers = json.loads(main)["state"]["1"]["journal"]["covers"]
    for other in (covers * 1000, covers - 1, covers + 40):
        (tmp_path / "lot.json").write_bytes(
            main.replace(b'"covers":%d' % covers, b'"covers":%d' % other)
        )
        found = look(tmp_path)
        assert any("nothing is lost" in note for note in found.notes)
        assert not found.trouble
        assert not found.edited
        assert subjects(tmp_path) == ["Marsh", "Lund", "Vos"]


def test_a_check_that_cannot_read_says_so(tmp_path, monkeypatch):
    class Failing(SystemFiles):
        failing = False

        def read_at(self, fd: int, size: int, offset: int) -> bytes:
            if self.failing:
                raise OSError(errno.EIO, os.strerror(errno.EIO))
            return super().read_at(fd, size, offset)

    _, session = opened(tmp_path)
    tag(session, "marsh", "lund", "vos")
    session.close()
    monkeypatch.setattr(recovery, "VERIFIED_AT_ONCE", 1000)
    files = Failing()
    store = LotFile(tmp_path, "box 12", files)
    files.failing = True
    with pytest.raises(NotSaved):
        store.settle()
    files.failing = False
    store.close()


def test_the_counts_are_those_of_the_cards_after_any_change_of_sides(tmp_path):
    for back in (SideOrder.FRONT_ONLY, SideOrder.BACK_FIRST):
        home = tmp_path / back
        home.mkdir()
        _, session = opened(home)
        arrange(session, SideOrder.FRONT_ONLY)
        for position in (2, 3, 5):
            session.go(position)
            tag(session, "lund")
        for sides in (
            SideOrder.ALTERNATE,
            back,
            SideOrder.BACK_FIRST,
            SideOrder.FRONT_ONLY,
            SideOrder.ALTERNATE,
        ):
            try:
                arrange(session, sides)
            except Refused:
                continue
            tagged = sum(
                session.view.card_at(at).mark.state == "tagged"
                for at in range(1, session.view.cards + 1)
            )
            assert session.view.counts().tagged == tagged == read_lot(home).counts().tagged
        for _ in range(3):
            session.undo()
            tagged = sum(
                session.view.card_at(at).mark.state == "tagged"
                for at in range(1, session.view.cards + 1)
            )
            assert session.view.counts().tagged == tagged == read_lot(home).counts().tagged
        session.close()


def desk(position: int) -> dict[str, Any]:
    return {"position": position, "carried": []}


def test_scans_that_came_after_another_side_order_outlast_the_move_from_format_1(tmp_path):
    """Format 1 did not note later scans in its history."""
    sides = [{"sides": "front, back", "pairs": [[1, "1.jpg", "2.jpg"]]}]
    sides.append({"sides": "back, front", "pairs": [[1, "2.jpg", "1.jpg"]]})
    untagged = {"state": "untagged"}
    marsh, lund = ({"state": "tagged", "subject": name} for name in ("Ada Marsh", "Bo Lund"))
    meta = {
        "format": 1,
        "lot": "box 12",
        "sides": "back, front",
        "order": [1, 2],
        "next_id": 3,
        "undone": 0,
    }
    old = {
        "lot": {"1": {**meta, "checklists": [], "saved": 1, **desk(3)}},
        "cards": {
            "1": {"front": "2.jpg", "back": "1.jpg", **marsh},
            "2": {"front": "4.jpg", "back": "3.jpg", **lund},
        },
        "changes": {
            "1": {
                "label": "sides",
                "at": 1.0,
                "before": desk(1),
                "after": desk(1),
                "marks": [],
                "arrangement": sides,
            },
            "2": {
                "label": "a",
                "at": 1.0,
                "before": desk(1),
                "after": desk(2),
                "marks": [[1, untagged, marsh]],
            },
            "3": {
                "label": "b",
                "at": 1.0,
                "before": desk(2),
                "after": desk(3),
                "marks": [[2, untagged, lund]],
            },
        },
    }
    (tmp_path / "lot.json").write_text(json.dumps(old))
    store = LotFile(tmp_path, "box 12")
    assert store.lot.cards == 2
    assert store.lot.next_id == 3
    assert [store.lot.mark(id).tags.subject for id in (1, 2)] == ["Ada Marsh", "Bo Lund"]
    assert [change.label for change in (store.undo(), store.redo(), store.undo()) if change] == [
        "b",
        "b",
        "b",
    ]
    assert store.lot.counts().tagged == 1
    store.close()
    assert subjects(tmp_path) == ["Ada Marsh"]
