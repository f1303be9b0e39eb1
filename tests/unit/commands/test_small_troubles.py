"""Small things that were told wrong, each at the command line."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from support.small_card import card

from tagger.cli import main
from tagger.config import load_settings
from tagger.core.lot.cells import guarded, unguarded
from tagger.services.opening import change
from tagger.store.lot.lot_file import LotFile
from tagger.store.machine.paths import LotPlace, config_file, data_folder


@pytest.fixture
def lot(tmp_path: Path) -> Path:
    """A lot of three cards, the first two tagged."""
    folder = tmp_path / "box 12"
    folder.mkdir()
    for number in range(1, 7):
        card().save(folder / f"scan_{number}.png")
    with change(LotPlace(folder, folder), load_settings(config_file())) as session:
        session.take_unlisted("7 marsh note=x;=1+1")
        session.take_unlisted("8 lund")
    return folder


def notes(lot: Path) -> str:
    store = LotFile(lot, "box 12")
    said = " ".join(store.notes)
    store.close()
    return said


def test_a_missing_journal_is_not_said_to_cost_nothing(lot: Path) -> None:
    (lot / "lot.journal").unlink()
    said = notes(lot)
    assert "lot.journal is missing: the tags are as lot.json has them" in said
    assert "all tags are here" not in said


def test_a_whole_last_line_that_is_damaged_is_not_called_unfinished(lot: Path) -> None:
    journal = bytearray((lot / "lot.journal").read_bytes())
    journal[journal.rindex(b'"k":') + 5] ^= 1
    (lot / "lot.journal").write_bytes(journal)
    said = notes(lot)
    assert "The last change in lot.journal is damaged" in said
    assert "not saved before the program stopped" not in said


def test_missing_scans_are_told(lot: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (lot / "scan_3.png").unlink()
    assert main(["status", str(lot)]) == 0
    said = capsys.readouterr().err
    assert "1 scan is missing from the folder, starting with scan_3.png, card 2" in said
    for scan in lot.glob("*.png"):
        scan.unlink()
    assert main(["status", str(lot)]) == 0
    assert "All 6 scans of this lot are missing from the folder" in capsys.readouterr().err


@pytest.mark.parametrize(
    "words", ["1 swop", "1 drop", "1 swap to 2 3", "1 turn 45", "1 same please", "s"]
)
def test_fix_words_that_are_none_are_a_usage_error(lot: Path, words: str) -> None:
    assert main(["fix", str(lot), *words.split()]) == 2


def test_a_fix_that_cannot_be_done_is_none(lot: Path) -> None:
    assert main(["fix", str(lot), "1", "same"]) == 3
    assert main(["fix", str(lot), "99", "swap"]) == 3


def test_a_formula_behind_a_semicolon_is_harmless(lot: Path, tmp_path: Path) -> None:
    out = tmp_path / "cards.csv"
    main(["export", str(lot), "--to", str(out)])
    text = out.read_text(encoding="utf-8")
    # as a spreadsheet reads it where the comma is the decimal sign
    cells = [cell for row in csv.reader(text.splitlines(), delimiter=";") for cell in row]
    assert not any(cell.startswith(("=", "+", "-", "@")) for cell in cells)
    # and as it was, where it is imported again
    assert main(["import", str(lot), str(out), "--yes"]) == 0
    for cell in ("x;=1+1", "=1;=2", "a;'=1;''b", ";", "a;b"):
        assert unguarded(guarded(cell)) == cell


def test_a_way_of_drawing_that_cannot_be_kept_is_not_said_to_be(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["preview-test", "--use", "quadrants"]) == 0
    folder = data_folder()
    for one in folder.iterdir():
        one.unlink()
    folder.rmdir()
    folder.parent.mkdir(parents=True, exist_ok=True)
    folder.write_text("no folder", encoding="utf-8")
    try:
        assert main(["preview-test", "--use", "sextants"]) == 3
        assert "The choice was not kept" in capsys.readouterr().err
    finally:
        folder.unlink()
