"""Another hand at the journal of an open lot, as a restore or a sync tool has: nothing that was
accepted is lost, and nobody is told that all is saved."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from tagger.cli import main
from tagger.core.session.session import Session
from tagger.errors import NotSaved
from tagger.store.lot.lot_file import LotFile, read_lot

SCANS = [f"scan_{number}.jpg" for number in range(1, 9)]
NAMES = ("7 marsh", "8 lund", "9 torbel")


def sitting(home: Path, refuge: Path | None = None) -> Session:
    return Session(LotFile(home, "box 12", refuge=refuge), clock=lambda: 1000.0)


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A lot of four cards, one of them tagged, with a copy of its files beside it."""
    folder = tmp_path / "box 12"
    folder.mkdir()
    for name in SCANS:
        (folder / name).write_bytes(b"x")
    session = sitting(folder)
    session.take_in(SCANS)
    session.take_unlisted("1 ayre")
    session.close()
    for name in ("lot.journal", "lot.json"):
        shutil.copy(folder / name, tmp_path / name)
    return folder


def restored_by_rename(home: Path) -> None:
    shutil.copy(home.parent / "lot.journal", home / "x")
    os.replace(home / "x", home / "lot.journal")


def restored_in_place(home: Path) -> None:
    shutil.copyfile(home.parent / "lot.journal", home / "lot.journal")


def cut(home: Path) -> None:
    os.truncate(home / "lot.journal", 40)


def emptied(home: Path) -> None:
    os.truncate(home / "lot.journal", 0)


def deleted(home: Path) -> None:
    (home / "lot.journal").unlink()


def same_size(home: Path) -> None:
    data = (home / "lot.journal").read_bytes()
    (home / "lot.journal").write_bytes(data[:-40] + b"x" * 40)


HARMS = [restored_by_rename, restored_in_place, cut, emptied, deleted, same_size]


def subjects(home: Path) -> list[str]:
    lot = read_lot(home)
    return [lot.card_at(position).mark.tags.subject for position in range(1, 5)]


@pytest.mark.parametrize("harm", HARMS)
@pytest.mark.parametrize("when", ["at the end", "with a key", "when quiet"])
def test_what_was_accepted_is_rescued_and_comes_back(
    home: Path, harm: Callable[[Path], None], when: str, capsys: pytest.CaptureFixture[str]
) -> None:
    session = sitting(home)
    session.take_unlisted("7 marsh")
    session.take_unlisted("8 lund")
    if when == "when quiet":
        session.settle()
    harm(home)
    told = "Another program replaced or deleted lot.journal. All tags are in lot.journal.rescued-1"
    if when == "with a key":
        with pytest.raises(NotSaved, match=f"^Not saved. {told}"):
            session.take_unlisted("9 torbel")
    if when == "when quiet":
        with pytest.raises(NotSaved, match=told):
            session.settle()
    with pytest.raises(NotSaved, match=told):
        session.close()
    assert not (home / "lot.journal.rescued-2").exists()
    capsys.readouterr()
    # whoever reads the lot is told, whatever became of its files
    assert main(["status", str(home)]) in (1, 3)
    assert main(["repair", str(home), "--apply"]) == 3
    assert main(["repair", str(home)]) == 1
    said = capsys.readouterr()
    assert "lot.journal.rescued-1 has" in said.out
    assert "3 cards tagged" in said.out
    assert main(["repair", str(home), "--keep-rescued"]) == 0
    assert subjects(home)[:3] == ["Ayre", "Marsh", "Lund"]
    capsys.readouterr()
    assert main(["status", str(home)]) == 0
    assert capsys.readouterr().err == ""
    assert not (home / "lot.journal.rescued-1").exists()


def test_a_lot_that_was_restored_keeps_its_history_where_the_old_file_still_had_it(
    home: Path,
) -> None:
    session = sitting(home)
    session.take_unlisted("7 marsh")
    restored_by_rename(home)
    with pytest.raises(NotSaved):
        session.close()
    assert main(["repair", str(home), "--keep-rescued"]) == 0
    again = sitting(home)
    again.undo()
    again.undo()
    again.close()
    assert subjects(home)[:2] == ["", ""]


def test_the_lot_of_now_may_stay_and_nothing_is_thrown_away(home: Path) -> None:
    session = sitting(home)
    session.take_unlisted("7 marsh")
    restored_in_place(home)
    with pytest.raises(NotSaved):
        session.close()
    kept = (home / "lot.journal.rescued-1").read_bytes()
    assert main(["repair", str(home), "--keep-rescued", "--discard-rescued"]) == 2
    assert main(["repair", str(home), "--discard-rescued"]) == 0
    assert (home / "lot.journal.set-aside-1").read_bytes() == kept
    assert subjects(home)[:2] == ["Ayre", ""]
    assert main(["status", str(home)]) == 0
    assert main(["repair", str(home), "--keep-rescued"]) == 3


def test_a_tool_that_writes_the_same_bytes_anew_is_in_nobodys_way(home: Path) -> None:
    session = sitting(home)
    session.take_unlisted("7 marsh")
    shutil.copy(home / "lot.journal", home / "x")
    os.replace(home / "x", home / "lot.journal")
    session.take_unlisted("8 lund")
    session.undo()
    session.close()
    assert subjects(home)[:3] == ["Ayre", "Marsh", ""]


def test_where_its_folder_is_gone_the_lot_goes_to_the_refuge(home: Path, tmp_path: Path) -> None:
    session = sitting(home, tmp_path / "state" / "rescued")
    session.take_unlisted("7 marsh")
    shutil.rmtree(home)
    refuge = tmp_path / "state" / "rescued" / "lot.journal.rescued-1"
    with pytest.raises(NotSaved, match=rf"The folder .*box 12 is gone\. All tags are in {refuge};"):
        session.close()
    home.mkdir()
    shutil.copy(refuge, home / "lot.journal")
    assert subjects(home)[:2] == ["Ayre", "Marsh"]


def test_where_nothing_can_be_kept_the_reason_is_said(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    session = sitting(home)
    session.take_unlisted("7 marsh")
    shutil.rmtree(home)
    with pytest.raises(NotSaved, match=r"could not be written \(No such file or directory\)"):
        session.close()


def test_what_another_program_added_leaves_ours_where_it_is(home: Path) -> None:
    session = sitting(home)
    session.take_unlisted("7 marsh")
    session.settle()
    with (home / "lot.journal").open("ab") as journal:
        journal.write(b"x")
    with pytest.raises(NotSaved, match="What was accepted here is saved"):
        session.close()
    assert not (home / "lot.journal.rescued-1").exists()
    assert subjects(home)[:2] == ["Ayre", "Marsh"]


def test_a_rescued_file_that_is_damaged_is_refused_and_can_be_set_aside(
    home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (home / "lot.journal.rescued-1").write_bytes(b"x\n")
    assert main(["repair", str(home)]) == 1
    assert "set it aside with --discard-rescued" in capsys.readouterr().out
    assert main(["repair", str(home), "--keep-rescued"]) == 3
    assert main(["repair", str(home), "--discard-rescued"]) == 0
    assert subjects(home)[0] == "Ayre"
