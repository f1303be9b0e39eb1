"""Checklists, folders and the list of lots as the user may leave them: each is told in words or
passed over."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from faults.lots import opened

from tagger.errors import LotError
from tagger.store import checklists
from tagger.store.files import SystemFiles
from tagger.store.machine.lots import LotList
from tagger.store.machine.lots_now import lots_now
from tagger.store.machine.paths import LotPlace, lot_place
from tagger.store.read_lists import read_checklist, read_indexed


def refused(files: SystemFiles, path: Path, flags: int) -> int:
    """What opening says where the user may not."""
    raise PermissionError(13, "Permission denied")


def test_a_checklist_that_is_no_file_that_can_be_read_is_told(tmp_path, monkeypatch):
    good = tmp_path / "list.csv"
    good.write_text("set,number,subject\n1987 Harbor Light,1,Ada Marsh\n")
    with pytest.raises(LotError, match="no checklists in"):
        read_checklist(tmp_path)
    with pytest.raises(LotError, match="There is no checklist"):
        read_checklist(tmp_path / "none.csv")
    both = read_indexed([tmp_path / "none.csv", good], tmp_path / "cache")
    assert len(both.problems) == 1
    assert len(both.index) == 1
    assert not len(read_indexed([], tmp_path / "cache").index)
    monkeypatch.setattr(checklists, "LARGEST", 10)
    with pytest.raises(LotError, match="split it"):
        read_checklist(good)
    monkeypatch.undo()
    monkeypatch.setattr(SystemFiles, "open", refused)
    with pytest.raises(LotError, match="cannot be read: Permission denied"):
        read_checklist(good)


def test_a_folder_that_may_not_be_read_is_told(tmp_path, monkeypatch):
    monkeypatch.setattr(os, "access", lambda path, mode: False)
    with pytest.raises(LotError, match="ask its owner"):
        lot_place(tmp_path, None)


def test_a_list_of_lots_that_cannot_be_read_is_an_empty_one(tmp_path, monkeypatch):
    lots = LotList(tmp_path / "data")
    home = tmp_path / "box 12"
    home.mkdir()
    opened(home).close()
    lots.opened(LotPlace(home, home))
    assert [known.place.home for known in lots_now(lots)] == [home]
    monkeypatch.setattr(SystemFiles, "open", refused)
    assert lots_now(lots) == []
