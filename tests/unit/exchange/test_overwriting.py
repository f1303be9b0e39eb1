"""Nothing that the program did not write itself is written over, by no command that writes."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest
from support import drawn
from support.small_card import card

from tagger.cli import main
from tagger.core.session.session import Session
from tagger.store.lot.lot_file import LotFile
from tagger.store.machine.paths import data_folder

pytestmark = pytest.mark.usefixtures("work_at_hand")

WRITERS = {
    "export": (["export", "{lot}", "--to", "{file}.csv"], ".csv"),
    "page": (["page", "{lot}", "--to", "{file}.html", "--no-findings"], ".html"),
    "sheet": (["sheet", "{lot}", "--to", "{file}.pdf"], ".pdf"),
    "picture": (["sheet", "{lot}", "--to", "{file}.png"], ".png"),
    "sets": (["sets", "{lot}", "--to", "{file}.csv"], ".csv"),
}


@pytest.fixture
def lot(tmp_path: Path) -> Path:
    """A lot of one tagged card; its checklist was given as the folder `lists`."""
    folder, lists = tmp_path / "box 12", tmp_path / "lists"
    folder.mkdir()
    lists.mkdir()
    rows = drawn.set_rows("1987 Harbor Light", 20, 5)
    (lists / "harbor.csv").write_text(drawn.checklist_csv(rows), encoding="utf-8")
    scans = ["scan_1.png", "scan_2.png"]
    for name in scans:
        card().save(folder / name)
    session = Session(LotFile(folder, "box 12"), clock=lambda: 1000.0)
    session.take_in(scans, [str(lists)])
    session.take_unlisted("7 marsh")
    session.close()
    return folder


def run(writer: str, lot: Path, file: Path, *more: str) -> int:
    words = [word.format(lot=lot, file=file) for word in WRITERS[writer][0]]
    return main([*words, *more])


@pytest.mark.parametrize("writer", WRITERS)
def test_only_what_was_written_here_and_is_unchanged_is_replaced(
    lot: Path, tmp_path: Path, writer: str, capsys: pytest.CaptureFixture[str]
) -> None:
    file, target = tmp_path / "out", tmp_path / f"out{WRITERS[writer][1]}"
    target.write_bytes(b"the dealer's own")
    assert run(writer, lot, file) == 2
    assert "already exists, and tagger did not write it" in capsys.readouterr().err
    assert target.read_bytes() == b"the dealer's own"
    assert run(writer, lot, file, "--force") == 0
    assert target.read_bytes() != b"the dealer's own"
    # twice: what was written here is written again
    assert run(writer, lot, file) == 0
    written = target.read_bytes()
    target.write_bytes(written + b" ")
    assert run(writer, lot, file) == 2
    # a link is nothing that was written here, even where it leads to the same bytes
    shutil.move(target, tmp_path / "moved")
    target.symlink_to(tmp_path / "moved")
    assert run(writer, lot, file) == 2
    assert run(writer, lot, file, "--force") == 0
    assert (tmp_path / "moved").read_bytes() == written + b" "
    # where the list is lost nothing is known of it
    shutil.rmtree(data_folder())
    assert run(writer, lot, file) == 2


@pytest.mark.parametrize("writer", ["export", "sets"])
def test_a_checklist_is_never_written_over(lot: Path, tmp_path: Path, writer: str) -> None:
    lists = tmp_path / "lists" / "harbor.csv"
    before = lists.read_bytes()
    for force in ([], ["--force"]):
        assert run(writer, lot, lists.with_suffix(""), *force) == 2
    assert lists.read_bytes() == before


def test_what_is_no_file_is_never_replaced(lot: Path, tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "out.csv")
    assert run("export", lot, tmp_path / "out", "--force") == 2
    assert run("export", lot, tmp_path / "out") == 2
