"""Machines that lack something: each command works, or says in one sentence what does not."""

from __future__ import annotations

import errno
import fcntl
import os
import pwd
import time
from pathlib import Path

import pytest
from support import drawn

from tagger.cli import main
from tagger.config import Settings
from tagger.services.opening import change
from tagger.store.files import SYSTEM, SystemFiles
from tagger.store.machine.lots import LotList
from tagger.store.machine.paths import data_folder, lot_place


@pytest.fixture
def lot(tmp_path: Path) -> Path:
    """Two cards, one of them tagged."""
    folder = tmp_path / "box 12"
    drawn.draw_scans(folder, 2, size=(60, 84))
    with change(lot_place(folder, None), Settings()) as session:
        session.take_unlisted("7 marsh")
    return folder


def opened_notes(lot: Path) -> tuple[str, ...]:
    opened = change(lot_place(lot, None), Settings())
    with opened as session:
        session.take_unlisted("8 lund")
    return opened.store.notes


def test_without_any_home_each_command_says_what_to_set(
    lot: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A container may run as a user who is in no list: getpwuid(3) finds none."""

    def nobody(uid: int) -> None:
        raise KeyError(uid)

    monkeypatch.setattr(pwd, "getpwuid", nobody)
    for name in ("HOME", "XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_STATE_HOME", "XDG_CACHE_HOME"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.chdir(lot.parent)
    for words in (["lots"], ["status", str(lot)], ["find", "7"], ["audit", str(lot)]):
        assert main(words) == 2
        said = capsys.readouterr().err
        assert said.startswith("tagger: No home folder is known; set HOME to a folder, or XDG_")
    assert not (lot.parent / "~").exists()


def test_folders_that_cannot_be_written_cost_what_is_said(
    lot: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """A file stands where each folder would be made: permissions do not hold back the tests' user
    everywhere."""
    (tmp_path / "file").touch()
    for kind in ("CONFIG", "DATA", "STATE", "CACHE"):
        monkeypatch.setenv(f"XDG_{kind}_HOME", str(tmp_path / "file" / kind))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "none"))
    assert [note for note in opened_notes(lot) if "do not know this lot by themselves" in note]
    for words in (["status", str(lot)], ["audit", str(lot)], ["find", "marsh"], ["lots"]):
        assert main(words) in (0, 1)
    target = tmp_path / "cards.csv"
    capsys.readouterr()
    assert main(["export", str(lot), "--to", str(target)]) == 0
    assert "tagger will not know that it wrote" in capsys.readouterr().err
    assert main(["export", str(lot), "--to", str(target)]) == 2
    assert main(["export", str(lot), "--to", str(target), "--force"]) == 0


def test_a_file_system_without_locks_still_remembers(
    lot: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """flock(2): ENOLCK, as on network file systems."""

    def none(*_: object) -> None:
        raise OSError(errno.ENOLCK, os.strerror(errno.ENOLCK))

    monkeypatch.setattr(fcntl, "flock", none)
    (data_folder() / "lots.json").unlink()
    assert any("no locks" in note for note in opened_notes(lot))
    assert [place.folder for place in LotList(data_folder()).places()] == [lot]


def test_a_folder_that_cannot_be_synced_is_no_obstacle(
    lot: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """fsync(2) of a folder: EINVAL where the file system has none."""

    def no_sync(*_: object) -> None:
        raise OSError(errno.EINVAL, os.strerror(errno.EINVAL))

    monkeypatch.setattr(SystemFiles, "sync_folder", no_sync)
    assert SYSTEM is not None
    assert not [note for note in opened_notes(lot) if "not" in note]


@pytest.mark.parametrize("now", [-1e6, 0.0, 4e11, 1e18])
def test_a_clock_that_jumps_stops_nothing(
    lot: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, now: float
) -> None:
    with monkeypatch.context() as patch:
        patch.setattr(time, "time", lambda: now)
        opened_notes(lot)
        for words in (["status"], ["export", "--to", str(tmp_path / f"{now}.csv")]):
            assert main([words[0], str(lot), *words[1:]]) == 0
        assert main(["lots"]) == 0
    assert main(["lots"]) == 0
    assert main(["status", str(lot)]) == 0
