"""Links in a folder that was received lead nothing of ours into another file, and a file that is
called like one of ours stays as it is."""

from __future__ import annotations

import contextlib
import os
from pathlib import Path

import pytest
from support.small_card import card
from support.tabled import lot_folder

from tagger.cli import main
from tagger.core.session.session import Session
from tagger.errors import LotError
from tagger.imaging.scan.folder import list_scans
from tagger.store.files import SYSTEM, leftovers, replacing
from tagger.store.lot.lot_file import LotFile

WORTH = b"worth keeping"


def worked_in(folder: Path) -> None:
    """A sitting in which a card is tagged."""
    session = Session(LotFile(folder, "box 12"), clock=lambda: 1000.0)
    session.take_in(["scan_1.jpg", "scan_2.jpg"])
    session.take_unlisted("7 marsh")
    session.close()


@pytest.mark.parametrize("there", [True, False])
@pytest.mark.parametrize("name", [".lot.lock", "lot.json", "lot.json.new", "lot.journal.new"])
def test_a_link_in_place_of_a_lot_s_own_file_leads_nowhere(
    tmp_path: Path, name: str, there: bool
) -> None:
    folder, target = tmp_path / "box 12", tmp_path / "target"
    folder.mkdir()
    if there:
        target.write_bytes(WORTH)
    (folder / name).symlink_to(target)
    # where a link stands in the way, that is told
    with contextlib.suppress(LotError):
        worked_in(folder)
    assert target.exists() == there
    assert not there or target.read_bytes() == WORTH


def test_a_journal_that_is_a_link_is_not_written_through(tmp_path: Path) -> None:
    folder, other = tmp_path / "box 12", tmp_path / "other"
    for place in (folder, other):
        place.mkdir()
    worked_in(other)
    before = (other / "lot.journal").read_bytes()
    (folder / "lot.journal").symlink_to(other / "lot.journal")
    with pytest.raises(LotError, match=r"lot\.journal is a link; remove it"):
        LotFile(folder, "box 12")
    assert (other / "lot.journal").read_bytes() == before


def test_an_export_leaves_a_file_or_link_beside_its_own_alone(tmp_path: Path) -> None:
    folder = lot_folder(tmp_path)
    (tmp_path / "box.csv.new").write_bytes(WORTH)
    (tmp_path / "target").write_bytes(WORTH)
    (tmp_path / "box.html.new").symlink_to(tmp_path / "target")
    assert main(["export", str(folder), "--to", str(tmp_path / "box.csv")]) == 0
    assert (tmp_path / "box.csv.new").read_bytes() == WORTH
    main(["page", str(folder), "--to", str(tmp_path / "box.html"), "--no-findings"])
    assert (tmp_path / "target").read_bytes() == WORTH
    assert (tmp_path / "box.html.new").is_symlink()


def test_what_a_killed_program_left_is_removed_and_names_may_be_long(tmp_path: Path) -> None:
    for name in ("lot.json", "x" * 250, "ß" * 120):
        with replacing(SYSTEM, tmp_path / name) as write:
            write(b"whole")
        assert (tmp_path / name).read_bytes() == b"whole"
    assert len(os.listdir(tmp_path)) == 3
    folder = tmp_path / "box 12"
    folder.mkdir()
    (folder / "lot.json.0123456789abcdef.new").write_bytes(b"half")
    (folder / "lot.json.mine.new").write_bytes(WORTH)
    assert [path.name for path in leftovers(folder / "lot.json")] == [
        "lot.json.0123456789abcdef.new"
    ]
    worked_in(folder)
    assert leftovers(folder / "lot.json") == []
    assert (folder / "lot.json.mine.new").exists()


def test_a_link_in_a_circle_among_the_scans_stops_nothing(tmp_path: Path) -> None:
    for name in ("scan_1.png", "scan_2.png"):
        card().save(tmp_path / name)
    (tmp_path / "scan_3.png").symlink_to(tmp_path / "scan_3.png")
    (tmp_path / "scan_4.tif").symlink_to(tmp_path / "scan_4.tif")
    found = list_scans(tmp_path)
    assert (found.scans, found.ignored) == (("scan_1.png", "scan_2.png"), 2)
    assert main(["status", str(tmp_path)]) == 0
