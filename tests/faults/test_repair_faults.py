"""Repair of what another hand or a bad disk did, on a disk that fails meanwhile."""

from __future__ import annotations

import errno
import json
import random

import pytest
from faults.disk import Disk
from faults.failing import failing
from faults.lots import opened, subjects, tag

from tagger.errors import LotError
from tagger.store.lot.lot_file import look
from tagger.store.lot.repair import plan, repair


def test_a_card_that_another_hand_made_no_document_is_told(tmp_path):
    store = opened(tmp_path)
    tag(store, 1, "Marsh")
    store.close()
    tables = json.loads((tmp_path / "lot.json").read_bytes())
    tables["cards"]["1"] = ["Marsh"]
    (tmp_path / "lot.json").write_text(json.dumps(tables))
    assert look(tmp_path).edited == ("card 1: is not a document",)
    with pytest.raises(LotError, match="--discard-edits"):
        repair(tmp_path, "lot", take=True)
    repair(tmp_path, "lot", take=False)
    assert subjects(tmp_path) == ["Marsh"]


def test_cards_that_another_hand_took_out_stay_when_the_rest_is_taken(tmp_path):
    store = opened(tmp_path)
    tag(store, 1, "Marsh")
    tag(store, 2, "Lund")
    store.close()
    tables = json.loads((tmp_path / "lot.json").read_bytes())
    del tables["cards"]["1"]
    tables["cards"]["2"]["subject"] = "Vos"
    (tmp_path / "lot.json").write_text(json.dumps(tables))
    assert "card 1 is missing" in look(tmp_path).edited
    repair(tmp_path, "lot", take=True)
    assert subjects(tmp_path) == ["Marsh", "Vos"]


def test_a_damaged_journal_without_lot_json_is_repaired_from_what_is_whole(tmp_path):
    store = opened(tmp_path)
    tag(store, 1, "Marsh")
    tag(store, 2, "Lund")
    store._checkpoint.join()
    store._release()
    journal = tmp_path / "lot.journal"
    journal.write_bytes(journal.read_bytes().replace(b'"Marsh"', b'"Marsk"'))
    assert "damaged-1" in plan(tmp_path).steps[0]
    repair(tmp_path, "lot")
    assert subjects(tmp_path) == ["Lund"]
    assert (tmp_path / "lot.journal.damaged-1").exists()


def test_a_repair_on_a_disk_that_fails_at_any_call_loses_nothing(tmp_path):
    disk = Disk()
    store = opened(tmp_path, disk)
    tag(store, 1, "Marsh")
    tag(store, 2, "Lund")
    store.close()
    files = disk.contents()
    files["lot.journal"] = files["lot.journal"].replace(b'"k":"base"', b'"k":"bass"')
    for error in (errno.EIO, errno.ENOSPC):
        for at in range(1, 200):
            disk = Disk(files, seed=at)
            disk.before_call, failed = failing(at, error, for_good=False)
            try:
                repair(tmp_path, "lot", files=disk)
            except LotError:
                assert failed()
            disk.before_call = lambda name, size: size
            for left in (disk.contents(), disk.cut(random.Random(at))):
                lot = look(tmp_path, Disk(left)).kept.lot
                assert [lot.mark(id).tags.subject for id in (1, 2)] == ["Marsh", "Lund"], (
                    f"call {at}"
                )
            if not failed():
                break
        assert 20 < at < 199
