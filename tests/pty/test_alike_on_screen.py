"""Copies of cards that were tagged before, in this lot and in another: shown beside them, taken by
Enter."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Sequence
from pathlib import Path

import pytest
from support import alike_lots
from support.drawn_once import drawn_once
from support.opened import Lot
from support.terminal import Terminal

SET = "1987 Harbor Light"
# cards of the second lot, counted from 0; the first lot has those up to 9
TRAY = (
    5,
    9,
    2,
    9,
    11,
    3,
)


@pytest.fixture(scope="module")
def drawn_lots(tmp_path_factory: pytest.TempPathFactory) -> Path:
    def draw(place: Path) -> None:
        alike_lots.checklist(place / "lists", SET, 12)
        cards = alike_lots.designs(SET, 12)
        alike_lots.draw(place / "first", cards[:10], "first")
        alike_lots.draw(place / "second", [cards[at] for at in TRAY], "d")

    return drawn_once(tmp_path_factory, "lots of cards alike", draw)


@pytest.fixture
def lots(drawn_lots: Path, tmp_path: Path) -> Path:
    return shutil.copytree(drawn_lots, tmp_path / "lots")


def opened(place: Path, name: str) -> Lot:
    return Lot(place / name, place / "lists", [sys.executable, "-m", "tagger"])


def measured(terminal: Terminal) -> None:
    """Wait until all scans are measured: the findings say so."""
    terminal.send("\x1b[24~")
    terminal.wait_for("No problems left|problem 1 of")
    terminal.send("\x1b[24~")
    terminal.settle(0.2)


def come_back(terminal: Terminal) -> None:
    """Go to the second card and back until a look-alike is shown: what is known by now counts from
    then on, and on a busy machine the process that knows takes its time to start."""
    for _ in range(20):
        terminal.send("\x1b[6~")
        terminal.wait_for("card 2 of")
        terminal.settle(0.3)
        terminal.send("\x1b[5~")
        terminal.wait_for("card 1 of")
        terminal.settle(0.3)
        if "one in first" in terminal.text():
            return


def tag_all(terminal: Terminal, numbers: Sequence[int]) -> None:
    for at, number in enumerate(numbers, start=2):
        terminal.send(f"#{number}\r")
        terminal.wait_for(rf"card {at} of|end of the lot")


@pytest.mark.parametrize("size", [(80, 24), pytest.param((120, 40), marks=pytest.mark.nightly)])
def test_copies_are_proposed_with_the_card_they_look_like(
    lots: Path, size: tuple[int, int], own_folders: object
) -> None:
    with opened(lots, "first").open(*size) as terminal:
        tag_all(terminal, range(1, 11))
        measured(terminal)
        terminal.send("\x18")
        assert terminal.wait_exit() == 0
    wide = size[0] > 100
    lot = opened(lots, "second")
    with lot.open(*size) as terminal:
        measured(terminal)
        come_back(terminal)
        terminal.wait_for(r"(like|maybe) one in first[\s\S]*#6 [A-Z]{2}")
        assert "check its parallel and condition" in terminal.text()
        if wide:
            terminal.wait_for("one in first\\? scan_0011.jpg")
            # the loupe is on the back of the card in front, and nowhere on the other one
            terminal.wait_gone("┌")
            # on a screen for one side it never stands alone, as if it were the card in front
            terminal.resize(80, 24)
            terminal.wait_for("front scan_0001.jpg")
            terminal.wait_gone("one in first?")
            terminal.resize(*size)
            terminal.wait_for("one in first\\? scan_0011.jpg")
            terminal.send("\x1b[18~")
            terminal.wait_for("back scan_0002.jpg")
        else:
            assert "front scan_0001.jpg" in terminal.text()
            terminal.send("\x1b[18~")
            terminal.wait_for("one in first\\?")
            terminal.send("\x1b[18~")
            terminal.wait_for("back scan_0002.jpg")
            terminal.send("\x1b[18~")
            terminal.wait_for("front scan_0001.jpg")
        terminal.send("\r")
        terminal.wait_for(r"card 2 of 6[\s\S]*(like|maybe) one in first[\s\S]*#10 [A-Z]{2}")
        terminal.send("\r")
        terminal.wait_for(r"card 3 of 6[\s\S]*(like|maybe) one in first[\s\S]*#3 [A-Z]{2}")
        terminal.send("g #3\r")  # what is typed goes before the look
        terminal.wait_for(
            r"card 4 of 6[\s\S]*(like|maybe) (card 2|one in first)[\s\S]*#10 [A-Z]{2}"
        )
        terminal.send("\r")
        terminal.wait_for("card 5 of 6")
        terminal.settle(0.4)
        assert "like one" not in terminal.text()  # no copy of it was tagged
        terminal.send("#12\r")
        terminal.wait_for(r"card 6 of 6[\s\S]*(like|maybe) one in first[\s\S]*#4 [A-Z]{2}")
        terminal.send("\r")
        terminal.wait_for("End of the lot")
        terminal.send("\x18")
        assert terminal.wait_exit() == 0
    got = [(card["number"], card["parallel"]) for card in lot.cards()]
    assert got == [("6", ""), ("10", ""), ("3", "Gold"), ("10", ""), ("12", ""), ("4", "")]


def test_keys_that_are_ahead_of_the_screen_take_nothing_by_a_look(
    lots: Path, own_folders: object
) -> None:
    """Three Enters in one packet: the second and third card were never shown, so that they are the
    likely next ones."""
    with opened(lots, "first").open() as terminal:
        terminal.send("\x1b[3")  # a broken sequence harms nothing
        terminal.settle()
    lot = opened(lots, "second")
    with lot.open() as terminal:
        measured(terminal)
        terminal.send("#1\r\r\r")
        terminal.wait_for("card 4 of 6")
        terminal.send("\x18")
        terminal.wait_exit()
    assert [card["number"] for card in lot.cards()][:3] == ["1", "2", "3"]
