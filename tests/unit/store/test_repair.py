"""`tagger repair`: says what it would do, does it when told to, and takes no tag out of use on the
way."""

from __future__ import annotations

import errno
import json
import os
import re
from pathlib import Path

import pytest

from tagger.cli import main
from tagger.core.session.session import Session
from tagger.errors import LotError, NotSaved
from tagger.store.files import SystemFiles
from tagger.store.lot.lot_file import LotFile, read_lot
from tagger.store.lot.repair import repair

SCANS = [f"scan_{number}.jpg" for number in range(1, 7)]


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A lot of three cards, two of them tagged, closed in order."""
    folder = tmp_path / "box 12"
    folder.mkdir()
    for name in SCANS:
        (folder / name).write_bytes(b"x")
    session = Session(LotFile(folder, "box 12"), clock=lambda: 1000.0)
    session.take_in(SCANS)
    session.take_unlisted("7 marsh")
    session.take_unlisted("8 lund")
    session.close()
    return folder


def contents(home: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in home.glob("lot.*")}


def subjects(home: Path) -> list[str]:
    lot = read_lot(home)
    return [lot.card_at(position).mark.tags.subject for position in (1, 2, 3)]


def damage(home: Path) -> None:
    """Spoil the line of the first tag in the journal."""
    journal = (home / "lot.journal").read_bytes()
    at = journal.index(b'"label":"card 1')
    (home / "lot.journal").write_bytes(journal[:at] + b"X" + journal[at + 1 :])


def change(home: Path) -> None:
    """Name the first card anew in `lot.json`, as another program would."""
    document = json.loads((home / "lot.json").read_bytes())
    document["cards"]["1"]["subject"] = "Torbel"
    (home / "lot.json").write_text(json.dumps(document))


def run(capsys: pytest.CaptureFixture[str], home: Path, *arguments: str) -> tuple[int, str]:
    status = main(["repair", str(home), *arguments])
    return status, capsys.readouterr().out


def test_a_sound_lot_needs_no_repair(home, capsys):
    before = contents(home)
    assert run(capsys, home) == (0, "box 12 needs no repair.\n")
    assert run(capsys, home, "--apply") == (0, "box 12 needs no repair.\n")
    assert contents(home).keys() == before.keys()
    assert subjects(home) == ["Marsh", "Lund", ""]


def test_a_lot_that_was_never_opened_is_named(tmp_path, capsys):
    assert main(["repair", str(tmp_path)]) == 3
    assert "was never opened" in capsys.readouterr().err
    assert main(["repair", str(tmp_path), "--keep-edits", "--discard-edits"]) == 2


def test_without_being_told_to_it_changes_nothing(home, capsys):
    damage(home)
    before = contents(home)
    status, said = run(capsys, home)
    assert status == 1
    assert "Nothing was changed" in said
    assert contents(home) == before


def test_a_damaged_journal_is_kept_aside_and_every_tag_stays(home, capsys):
    damage(home)
    damaged = (home / "lot.journal").read_bytes()
    assert run(capsys, home, "--apply")[0] == 0
    assert (home / "lot.journal.damaged-1").read_bytes() == damaged
    assert subjects(home) == ["Marsh", "Lund", ""]
    session = Session(LotFile(home, "box 12"))
    assert session.looking == ""
    session.take_unlisted("9 vos")
    session.close()
    assert subjects(home) == ["Marsh", "Lund", "Vos"]


@pytest.mark.parametrize("failing", ["lot.journal", "lot.journal.damaged-1"])
def test_a_repair_that_cannot_be_written_takes_nothing_out_of_use(home, failing):
    class Full(SystemFiles):
        def open(self, path: Path, flags: int) -> int:
            if re.fullmatch(rf"{re.escape(failing)}\.[0-9a-f]+\.new", path.name):
                raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
            return super().open(path, flags)

    damage(home)
    before = contents(home)
    with pytest.raises(LotError, match="Nothing was removed"):
        repair(home, "box 12", files=Full())
    assert {name: data for name, data in contents(home).items() if name in before} == before
    assert subjects(home) == ["Marsh", "Lund", ""]
    repair(home, "box 12")
    assert subjects(home) == ["Marsh", "Lund", ""]


def test_a_repair_stopped_in_the_middle_can_be_done_again(home):
    """Stopped at each call that removes or renames a file, one after the other."""

    class Stopping(SystemFiles):
        left = 0

        def _count(self) -> None:
            self.left -= 1
            if self.left < 0:
                raise KeyboardInterrupt

        def unlink(self, path: Path) -> None:
            self._count()
            super().unlink(path)

        def replace(self, source: Path, target: Path) -> None:
            self._count()
            super().replace(source, target)

    damage(home)
    damaged = contents(home)
    for calls in range(12):
        for path in home.glob("lot.*"):
            path.unlink()
        for name, data in damaged.items():
            (home / name).write_bytes(data)
        disk = Stopping()
        disk.left = calls
        try:
            repair(home, "box 12", files=disk)
        except KeyboardInterrupt:
            repair(home, "box 12")
        assert subjects(home) == ["Marsh", "Lund", ""]
        assert Session(LotFile(home, "box 12", only_looking=True)).looking == "opened read-only"


def test_what_another_hand_changed_is_shown_and_needs_a_choice(home, capsys):
    change(home)
    before = contents(home)
    status, said = run(capsys, home)
    assert status == 1
    assert 'card 1: subject is "Torbel", was "Marsh"' in said
    assert main(["repair", str(home), "--apply"]) == 3
    assert "--keep-edits or --discard-edits" in capsys.readouterr().err
    assert contents(home) == before


def test_what_another_hand_changed_is_taken_as_one_step(home, capsys):
    change(home)
    assert run(capsys, home, "--keep-edits")[0] == 0
    assert subjects(home) == ["Torbel", "Lund", ""]
    session = Session(LotFile(home, "box 12"))
    session.undo()
    session.close()
    assert subjects(home) == ["Marsh", "Lund", ""]


def test_what_another_hand_changed_is_left_and_kept_aside(home, capsys):
    change(home)
    changed = (home / "lot.json").read_bytes()
    assert run(capsys, home, "--discard-edits")[0] == 0
    assert subjects(home) == ["Marsh", "Lund", ""]
    assert (home / "lot.json.changed-1").read_bytes() == changed


def test_an_unfinished_last_line_is_kept_aside(home, capsys):
    with open(home / "lot.journal", "ab") as journal:
        journal.write(b'["0000')
    assert run(capsys, home, "--apply")[0] == 0
    assert (home / "lot.journal.cut-1").read_bytes() == b'["0000'
    assert subjects(home) == ["Marsh", "Lund", ""]


def test_an_open_lot_is_not_repaired(home, capsys):
    session = Session(LotFile(home, "box 12"))
    with open(home / "lot.journal", "ab") as journal:
        journal.write(b'["0000')
    assert main(["repair", str(home), "--apply"]) == 3
    assert "already open" in capsys.readouterr().err
    with pytest.raises(NotSaved):
        session.close()
