"""Dividers of a lot over time: one that was restored stays so, a joined folder brings its own, and
a box that is renamed is renamed on them."""

from __future__ import annotations

from pathlib import Path

import pytest
from support.shop import harbor, lot_of

from tagger.cli import main
from tagger.config import Settings
from tagger.core.audit.dividers.findings import divider_findings
from tagger.core.dividers.divider import BACK, FRONT, Divider, divider_on, payload_text
from tagger.core.dividers.seen import CodeSeen
from tagger.core.session.dividers import DividersOfLot
from tagger.core.session.fixer import Fixer
from tagger.core.session.session import Session
from tagger.services.opening import change
from tagger.store.lot.lot_file import read_lot
from tagger.store.machine.paths import lot_place

GOLD = Divider("1987 Harbor Light", "Gold", "", "box 7, row 2")
SEEN = {
    "scan_0003.jpg": CodeSeen(payload_text(GOLD, FRONT)),
    "scan_0004.jpg": CodeSeen(payload_text(GOLD, BACK)),
}


def tray(folder: Path) -> Path:
    """A lot of four pairs of scans, the first of which is a tagged card, the second a divider."""
    lot_of(folder, [harbor("1", "Ada Marsh")])
    for scan in range(3, 9):
        (folder / f"scan_{scan:04d}.jpg").touch()
    return folder


def opened(folder: Path):  # type: ignore[no-untyped-def]
    return change(lot_place(folder, None), Settings())


def found_again(session: Session) -> str:
    """What is said where the audit has seen the codes in a new sitting."""
    return DividersOfLot(session).seen(SEEN)


def test_a_divider_that_was_restored_is_asked_about_ever_after(tmp_path: Path) -> None:
    folder = tray(tmp_path / "tray")
    with opened(folder) as session:
        assert "Divider 1987 Harbor Light · Gold" in found_again(session)
        assert session.view.cards == 3
        session.undo()
        assert session.view.cards == 4
    with opened(folder) as session:
        assert found_again(session) == ""
        [asked] = divider_findings(session.view.arrangement, SEEN, {})
        assert asked.ask
        assert "which you restored" in asked.detail
        # done again, and undone with what came before
        assert "Redone" in session.redo()
        assert session.view.cards == 3
        assert read_lot(folder).arrangement.mending.restored == ()
        session.undo()
        session.undo()
        assert found_again(session) == ""
        # who says so at the question has it skipped as any other
        Fixer(session).mend(divider_findings(session.view.arrangement, SEEN, {})[0].fixes)
        assert session.view.cards == 3
    # one of its scans on a card again is as good as undo
    assert main(["fix", str(folder), "restore", "scan_0003.jpg"]) == 0
    with opened(folder) as session:
        assert session.view.arrangement.mending.dividers == ()
        assert found_again(session) == ""


def test_dividers_come_with_a_folder_and_follow_a_renamed_box(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    first, second = lot_of(tmp_path / "one", [harbor("9", "Bo Reed")]), tray(tmp_path / "two")
    with opened(second) as session:
        found_again(session)
    assert main(["fix", str(first), "join", "two"]) == 0
    with opened(first) as session:
        [divider] = session.view.arrangement.mending.dividers
        assert divider.scans == ("../two/scan_0003.jpg", "../two/scan_0004.jpg")
        assert [(group.first, group.last) for group in session.view.groups] == [(1, 2), (3, 4)]
        session.go(3)
        assert session.view.carried.get("place") == "box 7, row 2"
    (first / "scan_0003.jpg").touch()  # comes while the box is renamed
    capsys.readouterr()
    assert main(["move", "box 7", "shelf 2"]) == 0
    assert "what is printed on them is still box 7" in capsys.readouterr().err
    with opened(first) as session:
        assert session.view.cards == 5
        session.go(3)
        assert session.view.carried.get("place") == "shelf 2, row 2"
        session.undo()
        assert divider_on(session.view.groups.dividers[0]).place == "box 7, row 2"
        assert session.view.cards == 5
