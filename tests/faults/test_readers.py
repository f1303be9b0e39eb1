"""Others at the lot's files: readers always find a whole text, a second writer is refused or
noticed."""

from __future__ import annotations

import os

import pytest
from faults.edits import Model, do, lot_facts, steps_from
from faults.lots import opened
from faults.readers import reads

from tagger.core.lot.carried import Carried, Cursor
from tagger.core.lot.change import Change
from tagger.errors import LockedError, NotSaved
from tagger.store.lot.lot_file import LotFile, read_lot

CHANGE = Change("carry", 1.0, Cursor(), Cursor(1, Carried((("place", "box 4"),))))


@pytest.mark.parametrize("changes", [1000, pytest.param(10_000, marks=pytest.mark.nightly)])
def test_a_reader_from_outside_always_finds_a_whole_text(tmp_path, changes):
    tally = reads(tmp_path, changes)
    assert tally.tried > changes // 20
    assert tally.good, str(tally)


def test_a_second_writer_is_refused_while_the_first_lives(tmp_path):
    first = opened(tmp_path)
    with pytest.raises(LockedError, match="already open"):
        LotFile(tmp_path, "lot")
    first.enter(CHANGE)
    first.close()
    second = LotFile(tmp_path, "lot")
    assert second.last() == "carry"
    second.close()


def test_a_second_process_is_refused_while_the_first_lives_and_let_in_when_it_is_killed(tmp_path):
    end, told = os.pipe()
    ready, go = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            store = opened(tmp_path)
            store.enter(CHANGE)
            os.write(told, b".")
            os.read(ready, 1)
        finally:
            os._exit(0)
    os.read(end, 1)
    with pytest.raises(LockedError, match=f"process {child}"):
        LotFile(tmp_path, "lot")
    os.write(go, b".")
    os.waitpid(child, 0)
    second = LotFile(tmp_path, "lot")
    assert second.last() == "carry"
    second.close()
    for fd in (end, told, ready, go):
        os.close(fd)


def test_where_locks_do_not_work_the_first_writer_notices_the_second(tmp_path):
    first = opened(tmp_path)
    (tmp_path / ".lot.lock").unlink()  # another lock file is another lock
    second = LotFile(tmp_path, "lot")
    second.enter(CHANGE)
    before = lot_facts(first.lot)
    for _ in range(2):
        with pytest.raises(NotSaved, match="another program has written"):
            first.enter(CHANGE)
        assert lot_facts(first.lot) == before
    with pytest.raises(NotSaved, match="What was accepted here is saved"):
        first.close()
    second.enter(CHANGE)
    second.close()
    assert read_lot(tmp_path).cursor.carried == CHANGE.after.carried


def test_where_the_second_writer_replaced_the_journal_the_first_notices(tmp_path):
    first = opened(tmp_path)
    journal = tmp_path / "lot.journal"
    journal.with_suffix(".copy").write_bytes(journal.read_bytes() + b"x")
    journal.with_suffix(".copy").replace(journal)
    for _ in range(2):
        with pytest.raises(NotSaved, match="another program has written"):
            first.enter(CHANGE)
    with pytest.raises(NotSaved, match="What was accepted here is saved"):
        first.close()


def test_two_that_work_in_turn_see_each_other(tmp_path):
    model = Model()
    work = steps_from(model, 8)
    for _ in range(6):
        store = LotFile(tmp_path, "lot")
        assert lot_facts(store.lot) == model.facts()[:-2]
        for _ in range(5):
            step, model = next(work)
            do(store, step)
        store.close()
