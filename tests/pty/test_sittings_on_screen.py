"""What a dealer sees of sittings, stretches and the first opening, in the real program."""

from __future__ import annotations

import re
import signal
from pathlib import Path

import pytest
from support.opened import Lot

F5, F6, LEAVE, UNDO = "\x1b[15~", "\x1b[17~", "\x18", "\x1a"
FIRST = "Type which card this is"


def test_a_stretch_is_counted_down_beside_what_is_carried_and_undone_over_its_end(lot: Lot) -> None:
    with lot.open() as terminal:
        terminal.send("ex" + F5)
        terminal.wait_for("Carrying from now on: condition Excellent")
        terminal.send("next=2 set=harbor gold nm at=box 3, row 2")
        terminal.wait_for("F5 carries it for the next 2 cards")
        terminal.send(F5)
        terminal.wait_for("for the next 2 cards")
        terminal.wait_for("place box 3, row 2")
        terminal.send("23\r")
        terminal.wait_for(r"for the next card\b")
        terminal.send("24\r")
        terminal.wait_for("next= finished; carrying .*condition Excellent")
        terminal.settle()
        assert "for the next cards" in terminal.text()
        assert "condition Excellent" in terminal.text()
        terminal.send(UNDO)
        terminal.wait_for(r"for the next card\b")
        terminal.send(LEAVE)
        terminal.wait_exit()
    with lot.open(80, 24) as terminal:  # kept with the lot, and shown in the small panel too
        terminal.wait_for(r"for the next card\b")
        terminal.send("next" + F6)
        terminal.wait_for("next= finished")


@pytest.mark.parametrize("how", ["leave", "SIGHUP", "SIGKILL"])
def test_a_sitting_is_told_and_kept_however_it_ends(lot: Lot, how: str) -> None:
    with lot.open() as terminal:
        terminal.send("5\r6\r7\rtorn\x1bOQ")
        terminal.wait_for("card 5 of 12 .* 3 tagged")
        if how == "SIGKILL":
            folder = lot.folder
            terminal.pump(10, lambda: b'"sitting"' in (folder / "lot.journal").read_bytes())
        terminal.send(LEAVE) if how == "leave" else terminal.signal(signal.Signals[how])
        terminal.wait_exit()
        if how != "SIGKILL":
            said = " ".join(bytes(terminal.raw).decode().split())
            told = (
                r"This sitting: 3 cards in (?:less than a|[0-9]+) minutes?.*, [0-9.]+ keys a "
                r"card, 1 set aside\. .*3 of 12 cards"
            )
            assert re.search(told, said)
    (sitting,) = lot.status()["sittings"]
    assert sitting["cards"] == 3
    assert sitting["keys"] == 3 * 2 + 5 + (how == "leave")


def test_leaving_without_a_card_tells_of_no_sitting(lot: Lot) -> None:
    with lot.open() as terminal:
        terminal.send(LEAVE)
        terminal.wait_exit()
        assert b"This sitting" not in terminal.raw
    assert lot.status()["sittings"] == []


@pytest.mark.parametrize(("columns", "rows"), [(80, 24), (120, 40), (200, 60)])
def test_the_first_opening_shows_a_card_once_and_its_key_does_its_own_work(
    lot: Lot, opened_before: Path, columns: int, rows: int
) -> None:
    opened_before.unlink()
    with lot.open(columns, rows) as terminal:
        terminal.wait_for(FIRST)
        for words in ("number, name, or part", "accepts it and goes on", "same card again",
                      "leaves it for later", "all keys; Ctrl+X leaves"):  # fmt: skip
            terminal.wait_for(re.escape(words))
        assert not opened_before.exists()
        terminal.send("2")
        terminal.wait_for("Enter accepts")
        terminal.settle()
        assert FIRST not in terminal.text()
        assert "▸ 2" in terminal.text().splitlines()[-2]
        assert opened_before.exists()
    with lot.open(columns, rows) as terminal:
        terminal.settle()
        assert FIRST not in terminal.text()


def test_a_machine_that_cannot_remember_shows_the_card_again_and_works(
    lot: Lot, opened_before: Path
) -> None:
    opened_before.unlink()
    opened_before.parent.rmdir()
    opened_before.parent.write_text("no folder")
    for _ in range(2):
        with lot.open() as terminal:
            terminal.wait_for(FIRST)
            terminal.send("\x1b[6~")
            terminal.wait_for("card 2 of 12")
            terminal.send("\x1b[5~")
            terminal.wait_for("card 1 of 12")


def test_a_condition_before_the_sign_makes_a_copy_and_other_words_stay_text(lot: Lot) -> None:
    with lot.open() as terminal:
        terminal.send("set=87 23 g 12/99 nm\r")
        terminal.wait_for("card 2 of 12")
        terminal.send("ex")
        terminal.wait_for("= same again")
        terminal.send(" 39=")
        terminal.wait_for("Gold 39/99, Excellent.")
        terminal.wait_for("card 3 of 12")
        terminal.send("name=")
        terminal.wait_for("▸ name=")
        terminal.send("\x0bex\x1b[D=")  # the sign inside a word
        terminal.wait_for("▸ e=x")
        terminal.settle()
        assert "card 3 of 12" in terminal.text()
        terminal.send("\x0b100/99=")
        terminal.wait_for("above the print run of 99")
        terminal.settle()
        assert "▸ 100/99" in terminal.text().splitlines()[-2]
