"""A lot whose two files are both older, or both another lot's; and one that is not there any
more."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from support.small_card import card

from tagger.cli import main
from tagger.config import load_settings
from tagger.core.session.session import Session
from tagger.services.opening import OpenLot, change
from tagger.store.machine.paths import LotPlace, config_file

FILES = ("lot.json", "lot.journal")


def opened(folder: Path) -> OpenLot:
    return change(LotPlace(folder, folder), load_settings(config_file()))


def tagged(folder: Path, cards: int = 2) -> Path:
    folder.mkdir()
    for number in range(1, 9):
        card().save(folder / f"scan_{number}.png")
    with opened(folder) as session:
        for position in range(1, cards + 1):
            tag(session, position)
    return folder


def tag(session: Session, position: int) -> None:
    session.go(position)
    session.take_unlisted(f"{position} marsh")


def copied(source: Path, target: Path) -> None:
    target.mkdir(exist_ok=True)
    for name in FILES:
        shutil.copy(source / name, target / name)


def notes(folder: Path) -> str:
    lot = opened(folder)
    with lot:
        return " ".join(lot.store.notes)


def test_a_lot_that_went_back_says_so_once(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lot = tagged(tmp_path / "box 12")
    copied(lot, tmp_path / "backup")
    with opened(lot) as session:
        tag(session, 3)
    assert not notes(lot)
    copied(tmp_path / "backup", lot)
    assert "The lot is older than when it was open here last" in notes(lot)
    assert not notes(lot)
    with opened(lot) as session:
        tag(session, 4)
    copied(tmp_path / "backup", lot)
    # a command tells it, too
    assert main(["sold", str(lot), "1"]) == 1
    assert "restored from an older copy?" in capsys.readouterr().err
    assert main(["sold", str(lot), "1", "--returned"]) == 0


def test_a_lot_whose_files_are_another_lots_says_so(tmp_path: Path) -> None:
    lot, other = tagged(tmp_path / "box 12"), tagged(tmp_path / "box 13", 3)
    copied(other, lot)
    assert "The tags are another lot's than when this folder was open here last" in notes(lot)
    assert not notes(lot)


def test_a_lot_that_only_went_on_or_was_repaired_says_nothing(tmp_path: Path) -> None:
    lot = tagged(tmp_path / "box 12")
    killed = opened(lot)
    tag(killed.session, 3)
    killed.store.close()  # and nothing was noted of how far it went
    assert not notes(lot)
    journal = bytearray((lot / "lot.journal").read_bytes())
    journal[journal.index(b'"label":"card 1') + 12] ^= 1
    (lot / "lot.journal").write_bytes(journal)
    (lot / "lot.json").unlink()
    assert main(["repair", str(lot), "--apply"]) in (0, 1)
    assert "older" not in notes(lot)
    assert "another" not in notes(lot)


def test_a_moved_lot_is_forgotten(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    kept, lot = tagged(tmp_path / "box 11"), tagged(tmp_path / "box 12")
    lot.rename(tmp_path / "elsewhere")
    assert main(["find", "marsh"]) == 1
    assert main(["lots", "--forget", "box 9"]) == 3
    assert main(["lots", "--forget", str(lot), "--json"]) == 2
    assert main(["lots", "--forget", "Box 12"]) == 0
    assert "is off the list; its tags stay." in capsys.readouterr().err
    assert main(["find", "marsh"]) == 0
    assert main(["lots", "--forget", str(kept)]) == 0
    assert (kept / "lot.json").exists()
    assert main(["lots", "--forget", str(kept)]) == 3
