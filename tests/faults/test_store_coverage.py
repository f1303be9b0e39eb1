"""Ways through the store that nothing else takes: other systems' calls, damage with a right
checksum, odd holders."""

from __future__ import annotations

import errno
import json
import os
import random
import threading
import zlib
from typing import Any

import pytest
from faults.disk import Disk
from faults.edits import Model, do, format_1, found, lot_facts, scans, some_tags, steps_from
from faults.lots import opened, tag
from faults.power import often

from tagger.core.feeding.pairing import first_intake, rearranged
from tagger.core.lot.carried import Cursor
from tagger.core.lot.change import Change, FolderRead
from tagger.core.model.arrangement import Arrangement, Pair
from tagger.core.model.side_order import SideOrder
from tagger.core.model.tags import Mark, Marking, State
from tagger.errors import LockedError, LotError, NotSaved
from tagger.store import files as seam
from tagger.store.files import SystemFiles, write_all
from tagger.store.lot import lock, recovery
from tagger.store.lot.journal import Journal, decode, encode
from tagger.store.lot.lock import Lock
from tagger.store.lot.lot_file import LotFile, look
from tagger.store.lot.memory_tables import LotDatabase
from tagger.store.lot.repair import repair


def test_where_the_system_has_a_full_sync_it_is_used(tmp_path, monkeypatch):
    calls = []
    monkeypatch.setattr(seam, "_FULL_SYNC", 51)
    monkeypatch.setattr(seam.fcntl, "fcntl", lambda fd, call: calls.append(call))
    store = opened(tmp_path)
    before = len(calls)
    tag(store, 1, "Marsh")
    assert calls[before:] == [51]
    store.close()


def test_a_write_of_nothing_is_an_error():
    class Stuck(SystemFiles):
        def write_at(self, fd: int, data: bytes, offset: int) -> int:
            return 0

    with pytest.raises(OSError, match=os.strerror(errno.EIO)):
        write_all(Stuck(), 0, b"text", 0)


@pytest.mark.parametrize("body", [b"{", b"[1]", b"1", b"\xff"])
def test_a_right_checksum_of_what_is_no_record_makes_no_record(body):
    crc = encode({})[2:10]
    assert decode(b'["' + crc + b'",{}]\n') == {}
    assert decode(b'["%08x",%b]\n' % (zlib.crc32(body), body)) is None


def test_a_change_damaged_while_the_lot_is_open_is_not_undone_and_says_so(tmp_path):
    store = opened(tmp_path)
    tag(store, 1, "Marsh")
    journal = tmp_path / "lot.journal"
    data = journal.read_bytes()
    journal.write_bytes(data.replace(b'"Marsh"', b'"Marsk"'))
    before = lot_facts(store.lot)
    with pytest.raises(NotSaved, match=r"Not undone: the record at byte \d+ is damaged"):
        store.undo()
    assert lot_facts(store.lot) == before
    assert store.redo() is None
    with pytest.raises(NotSaved, match=r"All tags are in lot\.journal\.rescued-1"):
        store.close()


def test_a_long_change_is_read_back_whole(tmp_path):
    store = opened(tmp_path, cards=90)
    source = random.Random(1)
    marks = tuple(
        Marking(p.id, Mark(), Mark(State.TAGGED, some_tags(source)))
        for p in store.lot.arrangement.pairs
    )
    change = Change("all at once", 1.0, Cursor(), Cursor(), marks)
    store.enter(change)
    assert store.undo() == store.redo() == change
    store.close()


def test_marks_can_be_counted_and_taken_away(tmp_path):
    store = opened(tmp_path)
    tag(store, 1, "Marsh")
    tag(store, 2, "Lund")
    assert len(store.lot.marks) == 2
    del store.lot.marks[1]
    assert list(store.lot.marks) == [2]
    store.close()


def test_tables_take_over_what_tinydb_does_to_them():
    tables: dict[str, dict[str, Any]] = {"cards": {"1": {"subject": "Marsh"}}}
    database = LotDatabase(tables)
    database.table("cards").update({"team": "Sand Foxes"})
    assert database.table("cards").raw(1) == {"subject": "Marsh", "team": "Sand Foxes"}
    assert tables == {"cards": {"1": {"subject": "Marsh", "team": "Sand Foxes"}}}


def test_a_lock_that_fails_for_another_reason_is_no_holder(tmp_path, monkeypatch):
    def broken(*_: object) -> None:
        raise OSError(errno.EIO, os.strerror(errno.EIO))

    monkeypatch.setattr(lock.fcntl, "flock", broken)
    with pytest.raises(LotError, match=r"cannot be written to .*--state DIR\."):
        LotFile(tmp_path, "lot")
    # a lot that is kept there already would begin anew elsewhere
    (tmp_path / "lot.journal").touch()
    with pytest.raises(LotError, match=r"cannot be written to .*with --read-only, or copy"):
        LotFile(tmp_path, "lot")


def test_a_lock_is_let_go_of_once_and_by_whom_it_is_held_may_be_unknown(tmp_path, monkeypatch):
    def nobody() -> str:
        raise KeyError("no such user")

    monkeypatch.setattr(lock.getpass, "getuser", nobody)
    held = Lock(tmp_path / "lock", "The lot")
    with pytest.raises(LockedError, match="an unknown user"):
        Lock(tmp_path / "lock", "The lot")
    (tmp_path / "lock").write_text("nonsense")
    with pytest.raises(LockedError, match="by another program"):
        Lock(tmp_path / "lock", "The lot")
    held.release()
    held.release()
    Lock(tmp_path / "lock", "The lot").release()


@pytest.mark.parametrize(
    "use", [lambda home: LotFile(home, "lot"), lambda home: repair(home, "lot")]
)
def test_a_lock_file_that_cannot_be_made_is_told_in_words(tmp_path, use):
    (tmp_path / ".lot.lock").mkdir()
    with pytest.raises(LotError):
        use(tmp_path)


def test_a_copy_that_cannot_be_written_is_told(tmp_path):
    store = opened(tmp_path)
    with pytest.raises(LotError, match="No copy could be written"):
        store.copy_to(tmp_path / "nowhere")
    store.close()


def test_lot_json_that_a_thread_could_not_write_is_told_later_and_tried_again(tmp_path):
    disk = Disk()
    threads = set()

    def before(name: str, size: int) -> int:
        threads.add(threading.current_thread().name)
        if name == "replace":
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        return size

    with often(400, large=1):
        store = opened(tmp_path, disk)
        disk.before_call = before
        tag(store, 1, "Marsh")
        store.settle()
        writer = store._checkpoint.writer
        if writer is not None:
            writer.join()
        assert "lot.json" in threads
        with pytest.raises(NotSaved, match="could not be updated"):
            store.settle()
        disk.before_call = lambda name, size: size
        store.settle()
        store.close()
    assert json.loads(disk.contents()["lot.json"])["cards"]["1"]["subject"] == "Marsh"


def test_a_journal_of_a_newer_program_is_left_alone(tmp_path):
    (tmp_path / "lot.journal").write_bytes(
        encode({"n": 0, "k": "lot", "format": 99, "id": "x", "lot": "lot"})
    )
    with pytest.raises(LotError, match="newer tagger"):
        look(tmp_path)


def rewritten(disk: Disk, **place: Any) -> dict[str, bytes]:
    """The files with other values in lot.json, and a journal that says they are right."""
    files = disk.contents()
    tables = json.loads(files["lot.json"])
    tables["state"]["1"].update(place)
    files["lot.json"] = json.dumps(tables, separators=(",", ":")).encode()
    covers = tables["state"]["1"]["journal"]["covers"]
    lines = files["lot.journal"][:covers].splitlines()
    seal = {
        "n": len(lines),
        "k": "kept",
        "covers": covers,
        "crc": f"{zlib.crc32(files['lot.json']):08x}",
    }
    files["lot.journal"] = files["lot.journal"][:covers] + encode(seal)
    return files


def test_a_lot_json_with_a_right_checksum_that_is_no_lot_is_told(tmp_path):
    disk = Disk()
    store = opened(tmp_path, disk)
    tag(store, 1, "Marsh")
    store.close()
    assert look(tmp_path, Disk(rewritten(disk))).kept.lot.mark(1).tags.subject == "Marsh"
    with pytest.raises(LotError, match="is damaged"):
        look(tmp_path, Disk(rewritten(disk, sides="inside out")))


def test_scans_that_came_after_a_side_order_was_taken_back_outlast_the_move_from_format_1(tmp_path):
    model = Model()
    model.do(("note", (FolderRead(*first_intake(scans(6))),)))
    fresh, moved = rearranged(model.lot.arrangement, {}, SideOrder.FRONT_ONLY, model.lot.next_id)
    model.do(
        (
            "enter",
            (Change("sides", 1.0, Cursor(), Cursor(), moved, (model.lot.arrangement, fresh)),),
        )
    )
    model.do(("undo", ()))
    id = model.lot.next_id
    later = Pair(id, "scan_0007.jpg", "scan_0008.jpg")
    model.do(
        (
            "note",
            (
                FolderRead(
                    Arrangement(SideOrder.ALTERNATE, (*model.lot.arrangement.pairs, later)), id + 1
                ),
            ),
        )
    )
    store = LotFile(tmp_path, "lot", Disk({"lot.json": format_1(model)}))
    assert lot_facts(store.lot) == model.facts()[:-2]
    assert store.redo() == model.redo()
    store.close()


def test_where_the_dealer_stood_outlasts_the_move_from_format_1(tmp_path):
    model = Model()
    model.do(("note", (FolderRead(*first_intake(scans(6))),)))
    model.do(("enter", (Change("carry", 1.0, Cursor(), Cursor(2)),)))
    model.do(("move_to", (Cursor(3),)))
    facts, position = found(Disk({"lot.json": format_1(model)}), tmp_path)
    assert facts == model.facts()
    assert position == 3


def test_a_step_that_was_kept_alone_is_there_after_a_kill(tmp_path):
    """A place noted by itself is a line of its own; the program may be killed before lot.json
    follows."""
    disk = Disk()
    store = opened(tmp_path, disk)
    tag(store, 1, "Marsh")
    store.settle()
    store.move_to(Cursor(3, store.lot.cursor.carried))
    store.settle()
    files = disk.contents()
    store._release()
    assert look(tmp_path, Disk(files)).kept.lot.cursor.position == 3


def test_work_that_was_only_looked_at_writes_nothing(tmp_path):
    disk = Disk()
    store = opened(tmp_path, disk)
    for _, (step, _) in zip(range(10), steps_from(_as_opened(), 3), strict=False):
        do(store, step)
    store.close()
    files = disk.contents()
    looking = LotFile(tmp_path, "lot", disk, only_looking=True)
    looking.settle()
    with pytest.raises(NotSaved):
        tag(looking, 1, "Marsh")
    looking.close()
    assert disk.contents() == files


def _as_opened() -> Model:
    model = Model()
    model.do(("note", (FolderRead(*first_intake(scans(6))),)))
    return model


def test_a_large_journal_without_damage_is_checked_without_a_word(tmp_path, monkeypatch):
    store = opened(tmp_path)
    tag(store, 1, "Marsh")
    tag(store, 2, "Lund")
    store.close()
    monkeypatch.setattr(recovery, "VERIFIED_AT_ONCE", 100)
    store = LotFile(tmp_path, "lot")
    assert store._unchecked
    store.settle()
    assert not store._unchecked
    assert not store.notes
    store.close()


def test_a_journal_may_be_closed_twice(tmp_path):
    journal = Journal(SystemFiles(), tmp_path / "lot.journal", 0, 0)
    journal.append({"k": "note"})
    journal.close()
    journal.close()
    with pytest.raises(OSError, match=os.strerror(errno.EBADF)):
        journal.append({"k": "note"})


def test_tables_that_tinydb_drops_are_gone_from_memory():
    tables: dict[str, dict[str, Any]] = {"cards": {"1": {"subject": "Marsh"}}, "state": {}}
    LotDatabase(tables).drop_tables()
    assert tables == {}
