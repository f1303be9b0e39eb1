"""Cards that were read: one key each, and a page of them one key together. What is read comes from
a file, through the port that the engine has."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from support import drawn
from support.opened import Lot
from support.printed import draw
from support.terminal import Terminal

from tagger.ui.desk.modes.proofs import GLANCE

SET = "1987 Harbor Light"
ENTER, UNDO, LEAVE, DELETE_ALL, UP = "\r", "\x1a", "\x18", "\x0b", "\x1b[A"


@pytest.fixture
def lot(tmp_path: Path) -> Lot:
    """Fourteen cards of a set in their order; the third is read as another one, the fifth hardly,
    and the sixth is a Gold."""
    rows = drawn.set_rows(SET, 40, seed=5)
    cards = [(row.set, row.number, row.subject) for row in rows]
    read = draw(tmp_path / "box 12", cards[:14], faint=(5,), misread={3: cards[29]})
    (tmp_path / "list.csv").write_text(drawn.checklist_csv(rows), encoding="utf-8")
    program = [sys.executable, "-m", "support.printed", str(read)]
    return Lot(tmp_path / "box 12", tmp_path / "list.csv", program)


def accept(terminal: Terminal, shown: str) -> None:
    """Accept the page that is on the screen once there was time to look at it."""
    terminal.wait_for(shown)
    for _ in range(20):
        terminal.pump(GLANCE + 0.1)
        terminal.send(UP)
        terminal.wait_gone("Not accepted")
        terminal.send(ENTER)
        terminal.wait_for("accepted as read|Not accepted")
        if "accepted as read" in terminal.text():
            return
    raise AssertionError(f"never accepted:\n{terminal.text()}")


def test_a_card_costs_one_key_and_a_page_of_cards_one_together(
    lot: Lot, own_folders: object, monkeypatch: pytest.MonkeyPatch
) -> None:
    tests = Path(__file__).parents[1]
    monkeypatch.setenv("PYTHONPATH", f"{tests.parent}:{tests}")
    with lot.open(80, 30) as terminal:
        # It is read while the card is on the screen: the proposal changes, and says so.
        terminal.wait_for(r"Enter accepts +read")
        terminal.wait_for("page of proofs")
        # The page that is asked for too early opens by itself.
        terminal.send("+")
        terminal.wait_for("Cards 1 to 7, read on the scans")
        terminal.send("+")
        # What is typed goes before it, and then the key of the page is a sign.
        terminal.send("g+")
        terminal.wait_for(r"▸ g\+")
        terminal.send(DELETE_ALL)
        terminal.wait_for(r"Enter accepts +read")
        # What was not on the screen is not accepted, whatever comes in one packet.
        terminal.send("+" + ENTER)
        terminal.wait_for("Not accepted")
        assert "0 tagged" in terminal.text()
        accept(terminal, "Cards 1 to 7, read on the scans · 1 card between stays for the desk")
        terminal.wait_for("6 tagged[\\s\\S]*Cards 8 to 13")
        # all of them are one change, and the page is there again
        terminal.send(UNDO)
        terminal.wait_for("0 tagged[\\s\\S]*Cards 1 to 7[\\s\\S]*Undone")
        # two wrong lines and one other parallel: five keys with Enter
        terminal.send("36")
        terminal.wait_for("wrong: for the desk[\\s\\S]*wrong: for the desk")
        terminal.send("5g")
        terminal.wait_for(r"5\*[\s\S]*Gold \?/99[\s\S]*▸ g")
        accept(terminal, r"5\*[\s\S]*Gold \?/99")
        terminal.wait_for("4 tagged[\\s\\S]*Cards 8 to 13")
        accept(terminal, "Cards 8 to 13")
        accept(terminal, "Cards 14 to 14")
        # nothing is left to be proofed: the first card that was left on the way is in front
        terminal.wait_for(r"card 3 of 14 [\s\S]*11 tagged[\s\S]*Enter accepts +read[\s\S]*#30 ")
        terminal.send("3" + ENTER + "\t")
        terminal.wait_for(r"card 5 of 14 [\s\S]*likely next[\s\S]*#5 ")
        terminal.send(ENTER + "\t")
        terminal.wait_for(r"card 7 of 14 [\s\S]*Enter accepts +read[\s\S]*#7 ")
        terminal.send(ENTER)
        terminal.wait_for("14 tagged")
        terminal.send(LEAVE)
        assert terminal.wait_exit() == 0
    got = [(card["number"], card["parallel"]) for card in lot.cards()]
    assert got == [(str(at), "Gold" if at == 6 else "") for at in range(1, 15)]
