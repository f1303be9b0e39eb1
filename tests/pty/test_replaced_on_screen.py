"""Scans replaced under the same names between two sittings, at the real terminal."""

from __future__ import annotations

import signal
from pathlib import Path

import pytest
from support.opened import Lot
from support.small_card import card

CARDS, F3, F4, F12, UNDO, LEAVE = 3, "\x1bOR", "\x1bOS", "\x1b[24~", "\x1a", "\x18"


BEGUN = b"\x1b[?2004h"  # the terminal is taken: bracketed paste, xterm's mode 2004


@pytest.fixture
def lot(tmp_path: Path, tagger: list[str]) -> Lot:
    folder, checklist = tmp_path / "box 12", tmp_path / "list.csv"
    folder.mkdir()
    checklist.write_text("set,number,subject\n1987 Harbor Light,1,Ada Marsh\n", encoding="utf-8")
    for number in range(1, 2 * CARDS + 1):
        card().save(folder / f"scan_{number:04d}.png")
    return Lot(folder, checklist, tagger)


def test_replaced_scans_are_told_and_asked_on_the_smallest_screen(lot: Lot) -> None:
    with lot.open(80, 24) as terminal:
        for number in range(1, CARDS + 1):
            terminal.send(f"{number} lund{F4}")
            terminal.wait_for(f"{number} tagged")
        terminal.send(LEAVE)
        assert terminal.wait_exit() == 0
    for number in range(1, 2 * CARDS + 1):
        card().resize((190, 270)).save(lot.folder / f"scan_{number:04d}.png")
    with lot.open(80, 24) as terminal:
        terminal.wait_for("The scans of 3 cards, starting with card 1, were replaced since")
        terminal.wait_for("F12 +asks about each")
        terminal.send(F12)
        terminal.wait_for("card 1 · scan replaced\\?")
        terminal.wait_for("Enter removes the tags: it is another card")
        terminal.send("\r")
        terminal.wait_for("Card 1: another card, tags removed")
        terminal.wait_for("card 2 · scan replaced\\?")
        terminal.send("\x1b[3~")
        terminal.wait_for("Card 2: scanned again, tags kept")
        # what is asked again is asked before its own card
        terminal.send(UNDO)
        terminal.wait_for("card 2 · scan replaced\\?")
        terminal.wait_for("card 2 of 3")
        terminal.send("\x1b[3~")
        terminal.wait_for("card 3 · scan replaced\\?")
        terminal.send(F12)
        terminal.send(f"{F3}replaced")
        terminal.wait_for("1 of 3 cards")
        terminal.wait_for("3 \\? #3 Lund")
        terminal.send(F3)
        terminal.wait_for("PgUp previous card")
        # stopped by somebody else, and told to go on: it has the terminal again, and ends
        for _ in range(3):
            begun = terminal.raw.count(BEGUN)
            terminal.signal(signal.SIGSTOP)
            terminal.signal(signal.SIGCONT)
            assert terminal.pump(15, lambda at=begun: terminal.raw.count(BEGUN) > at)
        terminal.send(LEAVE)
        # one question is left
        assert terminal.wait_exit() == 1
