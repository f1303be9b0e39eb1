"""A lot on disk: whole at any moment, one writer, and nothing lost when the disk says no."""

from __future__ import annotations

import contextlib
import errno
import json
import os
from collections.abc import Callable
from pathlib import Path

import pytest
from support.memory import MemoryStore
from tinydb import TinyDB

from tagger.core.model.side_order import SideOrder
from tagger.core.session.arranging import arrange
from tagger.core.session.session import Session
from tagger.errors import LotError, NotSaved
from tagger.store.files import SYSTEM, Files, SystemFiles
from tagger.store.lot.lot_file import LotFile, look, read_lot

SCANS = [f"scan_{number}.jpg" for number in range(1, 7)]


def opened(home: Path, files: Files = SYSTEM) -> Session:
    session = Session(LotFile(home, "box 12", files), clock=lambda: 1000.0)
    session.take_in(SCANS)
    return session


def tag(session: Session, position: int, name: str) -> None:
    session.go(position)
    session.take_unlisted(f"7 {name}")


def facts(session: Session) -> tuple[object, ...]:
    cards = [session.view.card_at(position) for position in range(1, session.view.cards + 1)]
    return cards, session.view.sides, session.view.cursor.carried, session.view.checklists


def kept(home: Path) -> tuple[object, ...]:
    store = MemoryStore()
    store.lot = read_lot(home)
    return facts(Session(store))


def contents(home: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in home.iterdir() if path.name != ".lot.lock"}


def test_the_file_is_one_that_tinydb_reads_by_itself(tmp_path):
    session = opened(tmp_path)
    tag(session, 2, "marsh")
    session.settle()
    with TinyDB(tmp_path / "lot.json", access_mode="r") as database:
        card = database.table("cards").get(doc_id=2)
        assert (card["front"], card["back"], card["subject"]) == (
            "scan_3.jpg",
            "scan_4.jpg",
            "Marsh",
        )
        assert len(database.table("cards")) == 3
        assert database.table("state").get(doc_id=1)["lot"] == "box 12"


class Watched(SystemFiles):
    """The disk, with a look at it before and after each call that changes it."""

    def __init__(self, look: Callable[[], object]) -> None:
        self._look = look

    def write_at(self, fd: int, data: bytes, offset: int) -> int:
        self._look()
        return super().write_at(fd, data[: len(data) // 2 + 1], offset)

    def sync(self, fd: int) -> None:
        self._look()
        super().sync(fd)
        self._look()

    def replace(self, source: Path, target: Path) -> None:
        self._look()
        super().replace(source, target)
        self._look()


def test_at_each_moment_the_file_is_whole_json_and_the_lot_can_be_read(tmp_path):
    """RFC 8259; also while the system writes only half of what it is given at a time."""
    seen = []

    def watch() -> None:
        if (tmp_path / "lot.json").exists():
            json.loads((tmp_path / "lot.json").read_bytes())
            seen.append([card.mark.tags.subject for card in kept(tmp_path)[0]])

    session = opened(tmp_path, Watched(watch))
    session.settle()
    for position, name in ((1, "marsh"), (2, "lund")):
        tag(session, position, name)
        session.settle()
    session.close()
    assert [facts for at, facts in enumerate(seen) if facts not in seen[:at]] == [
        ["", "", ""],
        ["Marsh", "", ""],
        ["Marsh", "Lund", ""],
    ]


class Faulty(SystemFiles):
    """A disk on which one kind of call fails while `code` is set, `times` at most. A failing write
    leaves half of its data."""

    def __init__(self, call: str) -> None:
        self._call = call
        self.code, self.times = 0, 1000

    def _fail(self, call: str) -> None:
        if self.code and self.times and call == self._call:
            self.times -= 1
            raise OSError(self.code, os.strerror(self.code))

    def open(self, path: Path, flags: int) -> int:
        if path.name.startswith("lot.json.") and path.suffix == ".new":
            self._fail("open")
        return super().open(path, flags)

    def write_at(self, fd: int, data: bytes, offset: int) -> int:
        if self.code and self._call == "write":
            super().write_at(fd, data[: len(data) // 2], offset)
        self._fail("write")
        return super().write_at(fd, data, offset)

    def sync(self, fd: int) -> None:
        self._fail("sync")
        super().sync(fd)

    def sync_folder(self, fd: int) -> None:
        self._fail("sync_folder")
        super().sync_folder(fd)

    def replace(self, source: Path, target: Path) -> None:
        self._fail("replace")
        super().replace(source, target)


CHANGES: dict[str, Callable[[Session], object]] = {
    "tag": lambda session: tag(session, 3, "lund"),
    "undo": lambda session: session.undo(),
    "side order": lambda session: arrange(session, SideOrder.FRONT_ONLY),
    "carry": lambda session: session.carry("at=row 2"),
    "later scans": lambda session: session.take_in([*SCANS, "scan_7.jpg"]),
    "checklists": lambda session: session.take_in(SCANS, ["/lists/harbor.csv"]),
}


@pytest.mark.parametrize("change", CHANGES)
@pytest.mark.parametrize("call", ["write", "sync"])
def test_a_full_disk_changes_nothing_and_the_next_try_works(tmp_path, change, call):
    disk = Faulty(call)
    session = opened(tmp_path, disk)
    tag(session, 1, "marsh")
    before, label = facts(session), session.last_change()
    for _ in range(2):
        disk.code, disk.times = errno.ENOSPC, 1
        with pytest.raises(
            NotSaved, match=r"^Not saved: the disk is full\. The card is unchanged; .*\.$"
        ):
            CHANGES[change](session)
        assert (facts(session), session.last_change()) == (before, label)
        disk.code = 0
        assert kept(tmp_path) == before
    CHANGES[change](session)
    assert facts(session) != before
    assert kept(tmp_path) == facts(session)
    session.close()
    assert kept(tmp_path) == facts(opened(tmp_path))


def test_where_no_further_try_can_work_none_is_asked_for(tmp_path):
    disk = Faulty("sync")
    session = opened(tmp_path, disk)
    disk.code = errno.ENOSPC
    with pytest.raises(NotSaved) as refusal:
        tag(session, 1, "marsh")
    disk.code = 0
    with contextlib.suppress(NotSaved):
        tag(session, 1, "marsh")
    assert ("press Enter again" in str(refusal.value)) == (session.view.counts().tagged == 1)


@pytest.mark.parametrize("change", CHANGES)
@pytest.mark.parametrize(
    ("call", "code"), [("write", errno.EIO), ("sync", errno.EIO), ("write", errno.EROFS)]
)
def test_a_bad_disk_changes_nothing_takes_nothing_more_and_keeps_what_was(
    tmp_path, change, call, code
):
    disk = Faulty(call)
    session = opened(tmp_path, disk)
    tag(session, 1, "marsh")
    before = facts(session)
    disk.code = code
    with pytest.raises(NotSaved, match=r"^Not saved: .*\.$"):
        CHANGES[change](session)
    disk.code = 0
    with pytest.raises(NotSaved):
        CHANGES[change](session)
    assert facts(session) == before
    assert kept(tmp_path) == before
    session.close()
    again = opened(tmp_path)
    assert facts(again) == before
    CHANGES[change](again)
    assert kept(tmp_path) == facts(again)
    again.close()


@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EIO, errno.EROFS])
@pytest.mark.parametrize("call", ["open", "replace", "sync_folder"])
def test_a_file_that_cannot_follow_loses_no_tag(tmp_path, call, code):
    disk = Faulty(call)
    session = opened(tmp_path, disk)
    session.settle()
    tag(session, 1, "marsh")
    disk.code = code
    with pytest.raises(NotSaved, match=r"All tags are in lot\.journal"):
        session.settle()
    json.loads((tmp_path / "lot.json").read_bytes())
    tag(session, 2, "lund")
    assert kept(tmp_path) == facts(session)
    disk.code = 0
    session.settle()
    assert json.loads((tmp_path / "lot.json").read_bytes())["cards"]["2"]["subject"] == "Lund"
    session.close()
    assert sorted(contents(tmp_path)) == ["lot.journal", "lot.json"]


def test_a_file_system_that_cannot_sync_a_folder_is_no_obstacle(tmp_path):
    """fsync(2): EINVAL from a file system that does not support it; some network and user-space
    ones do so."""
    disk = Faulty("sync_folder")
    disk.code = errno.EINVAL
    session = opened(tmp_path, disk)
    tag(session, 1, "marsh")
    session.close()
    assert kept(tmp_path) == facts(session)


def test_a_position_that_cannot_be_saved_still_lets_go_of_the_lot(tmp_path):
    disk = Faulty("write")
    session = opened(tmp_path, disk)
    session.go(2)
    disk.code = errno.ENOSPC
    with pytest.raises(NotSaved):
        session.close()
    opened(tmp_path).close()


def test_a_folder_that_is_gone_is_named_and_may_come_back(tmp_path):
    home = tmp_path / "box 12"
    home.mkdir()
    session = opened(home)
    tag(session, 1, "marsh")
    before = facts(session)
    home.rename(tmp_path / "away")
    with pytest.raises(NotSaved, match="is gone"):
        tag(session, 2, "lund")
    assert facts(session) == before
    (tmp_path / "away").rename(home)
    tag(session, 2, "lund")
    session.close()
    assert kept(home) == facts(session)


def test_a_folder_that_comes_back_empty_takes_no_change_and_a_copy_can_be_made(tmp_path):
    home = tmp_path / "box 12"
    home.mkdir()
    store = LotFile(home, "box 12")
    session = Session(store)
    session.take_in(SCANS)
    tag(session, 1, "marsh")
    before = facts(session)
    home.rename(tmp_path / "away")
    home.mkdir()
    with pytest.raises(NotSaved):
        tag(session, 2, "lund")
    assert facts(session) == before
    (tmp_path / "copy").mkdir()
    assert store.copy_to(tmp_path / "copy") == tmp_path / "copy" / "lot.json"
    assert kept(tmp_path / "copy") == before == kept(tmp_path / "away")
    with pytest.raises(LotError, match="already exists"):
        store.copy_to(tmp_path / "copy")


def test_a_journal_cut_at_any_byte_gives_a_state_that_was(tmp_path):
    session = opened(tmp_path)
    states = [facts(session)]
    for position, name in ((1, "marsh"), (3, "lund"), (1, "vos")):
        tag(session, position, name)
        states.append(facts(session))
    session.undo()
    states.append(facts(session))
    whole = (tmp_path / "lot.journal").read_bytes()
    first = whole.index(b'"k":"intake"')
    assert not (tmp_path / "lot.json").exists()
    met = []
    for size in range(whole.index(b"\n", first) + 1, len(whole) + 1):
        (tmp_path / "lot.journal").write_bytes(whole[:size])
        found = kept(tmp_path)
        if not met or met[-1] != found:
            met.append(found)
        told = any("was not saved" in note for note in look(tmp_path).notes)
        assert told != whole[:size].endswith(b"\n")
    assert met == states
