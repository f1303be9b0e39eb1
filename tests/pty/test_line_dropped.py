"""Leaving, wanted or not: all is saved, the terminal is as it was, and the next opening goes on at
the same place."""

from __future__ import annotations

import signal

import pytest
from support.at_night import at_night
from support.opened import Lot
from support.terminal import Terminal

ALTERNATE_OFF, CURSOR_ON = b"\x1b[?1049l", b"\x1b[?25h"


@pytest.mark.parametrize("how", [at_night("leave"), "SIGHUP", at_night("SIGTERM"), "closed"])
def test_reopening_stands_at_the_same_card_with_the_same_carried_tags(lot: Lot, how: str) -> None:
    with lot.open() as terminal:
        terminal.send("5\rnm at=box 3, row 2\x1b[15~6\r7\r\x1b[5~")
        terminal.wait_for(r"card 3 of 12 .* 3 tagged")
        if how == "leave":
            terminal.send("\x18")
        elif how == "closed":
            terminal.drop_line()
        else:
            terminal.signal(signal.Signals[how])
        assert terminal.wait_exit() == 0
        if how != "closed":
            assert ALTERNATE_OFF in terminal.raw
            assert CURSOR_ON in terminal.raw
    status = lot.status()
    assert (status["position"], status["tagged"]) == (3, 3)
    with lot.open() as terminal:
        terminal.wait_for(r"card 3 of 12 .* 3 tagged")
        terminal.wait_for("condition Near Mint")
        terminal.wait_for("place box 3, row 2")
        terminal.wait_for("#7")
        terminal.send("\x1a")  # undo goes back over the break
        terminal.wait_for("2 tagged")
    assert [card["number"] for card in lot.cards()][:3] == ["5", "6", ""]


def test_a_terminal_that_goes_without_a_word_ends_the_program(lot: Lot, tagger: list[str]) -> None:
    """The hangup is told to the session's leader (setsid(2), termios(3)): a shell here, which does
    not pass it on."""
    command = [*tagger, "open", str(lot.folder), "--checklist", str(lot.checklist)]
    with Terminal(["sh", "-c", "trap '' HUP; \"$@\"; exit $?", "sh", *command]) as terminal:
        terminal.wait_for("card 1 of 12")
        terminal.wait_gone("still being read")
        terminal.send("5\r")
        terminal.wait_for("1 tagged")
        terminal.drop_line()
        assert terminal.wait_exit() == 0
    assert lot.status()["tagged"] == 1
    with lot.open() as terminal:  # nothing holds it
        terminal.wait_for("card 2 of 12 .* 1 tagged")


def test_a_second_opener_is_told_who_and_since_when(lot: Lot) -> None:
    with lot.open() as first, lot.start() as second:
        assert second.wait_exit() == 3
        said = " ".join(second.text().split())
        assert "already open" in said
        assert f"process {first.pid}" in said
        assert "since" in said
        first.send("3\r")
        first.wait_for("card 2 of 12")


def test_the_lock_of_a_killed_program_is_no_obstacle(lot: Lot) -> None:
    with lot.open() as terminal:
        terminal.send("3\r")
        terminal.wait_for("card 2 of 12")
        terminal.signal(signal.SIGKILL)
        terminal.wait_exit()
    with lot.open() as terminal:
        terminal.wait_for("card 2 of 12 .* 1 tagged")


def test_an_error_of_the_program_itself_is_one_sentence_without_a_traceback(
    lot: Lot, own_folders: object
) -> None:
    """Made by breaking a picture loader's contract: the folder of the running program's own code
    stays whole."""
    breaking = (
        "import sys; from tagger.ui.desk.modes import tagging as lines\n"
        "from tagger.cli import main\n"
        "def broken(*given): raise RuntimeError('broken on purpose')\n"
        "real = lines.hint\n"
        "lines.hint = lambda line, *given, **named: broken() if line.text else real(line, *given, "
        "**named)\n"
        f"sys.exit(main(['open', {str(lot.folder)!r}]))\n"
    )
    import sys

    from support.terminal import Terminal

    with Terminal([sys.executable, "-c", breaking]) as terminal:
        terminal.wait_for("card 1 of")
        terminal.send("abc")
        assert terminal.wait_exit() == 3
        assert b"Traceback" not in terminal.raw
        assert b"tagger crashed; all tags are saved" in terminal.raw
        assert ALTERNATE_OFF in terminal.raw
