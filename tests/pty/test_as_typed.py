"""What is typed is not lost, and not taken for anything else, at the real terminal: F5 leaves what
names the card, F4 shows what it makes, a hint outlives the line."""

from __future__ import annotations

import re
import signal
from collections.abc import Callable

import pytest
from support import drawn
from support.at_night import at_night
from support.opened import Lot
from support.terminal import Terminal

F4, F5, DOWN, CLEAR_LINE, LEAVE = "\x1bOS", "\x1b[15~", "\x1b[B", "\x0b", "\x18"


@pytest.fixture
def two_sets(make_lot: Callable[..., Lot]) -> Lot:
    """Twelve cards, and two sets of 60 and 80."""
    rows = [
        *drawn.set_rows("1987 Harbor Light", 60, seed=5),
        *drawn.set_rows("1985 Mill Pond", 80, seed=6),
    ]
    return make_lot(12, rows)


def typed(terminal: Terminal) -> str:
    """What stands in the hint line."""
    found = re.search(r"▸ (.*)$", terminal.text().splitlines()[-2])
    return found[1].rstrip() if found else ""


def made(rows: list[dict[str, str]], at: int) -> tuple[str, ...]:
    names = ("set", "number", "subject", "parallel", "serial", "condition", "place")
    return tuple(rows[at - 1][name] for name in names)


@pytest.mark.parametrize("size", [(80, 24), at_night((120, 40))], ids=["80x24", "120x40"])
def test_what_is_typed_is_carried_kept_and_made_as_the_panel_shows(
    two_sets: Lot, size: tuple[int, int]
) -> None:
    with two_sets.open(*size) as terminal:
        terminal.send("1\r2 gold at=box 2" + F5)
        terminal.wait_for("Carrying from now on: parallel Gold, place box 2.")
        terminal.settle()
        assert typed(terminal) == "2"
        terminal.send(F5)
        terminal.wait_for("Type what to carry")
        assert typed(terminal) == "2"
        terminal.send("\rbase" + F5)
        terminal.wait_for("card 3 of 12")

        terminal.send("900 zora oakes gold 12/99 nm")
        terminal.wait_for("F4 tags this")
        for shown in ("#900 ZORA OAKES", "Gold 12/99 · Near Mint", "has no #900"):
            terminal.wait_for(shown)
        terminal.send(F4)
        terminal.wait_for("1987 Harbor Light has no #900. Another set: type set=…; this one: F4")
        assert typed(terminal) == "900 zora oakes gold 12/99 nm"
        terminal.wait_for("card 3 of 12")
        terminal.send(F4)
        terminal.wait_for("Card 3: #900 Zora Oakes, Gold 12/99, Near Mint, unlisted.")

        terminal.send("4\rset=summit ridge 1991 #7 ivo renley")
        terminal.wait_for("#7 IVO RENLEY")
        terminal.wait_for("Summit Ridge 1991")
        terminal.send(F4)
        terminal.wait_for("Card 5: #7 Ivo Renley, base, unlisted.")
        terminal.send("set=87 12 zzqx")
        terminal.wait_for("Enter does not accept")
        terminal.wait_for("F4 not listed: #12 Zzqx")
        terminal.send(CLEAR_LINE + LEAVE)
        terminal.wait_exit()
    rows = two_sets.rows()
    harbor = "1987 Harbor Light"
    assert rows[1]["parallel"] == "Gold"
    assert rows[1]["place"] == "box 2"
    assert made(rows, 3) == (
        harbor, "900", "Zora Oakes", "Gold", "12/99", "Near Mint", "box 2"
    )  # fmt: skip
    assert made(rows, 5)[:4] == ("Summit Ridge 1991", "7", "Ivo Renley", "")


@pytest.mark.parametrize("how", ["SIGHUP", at_night("closed"), "SIGKILL", at_night("leave")])
def test_a_hint_is_there_again_when_the_lot_is_opened(lot: Lot, how: str) -> None:
    with lot.open() as terminal:
        terminal.send("5\r6 gold nm")
        terminal.wait_for("Gold /99 · Near Mint")
        if how == "leave":
            terminal.send(LEAVE)
        elif how == "closed":
            terminal.drop_line()
        elif how == "SIGKILL":
            terminal.pump(20, lambda: (lot.folder / ".lot.hint").exists())
            terminal.signal(signal.SIGKILL)
        else:
            terminal.signal(signal.SIGHUP)
        terminal.wait_exit()
    with lot.open() as terminal:
        terminal.wait_for("What you typed for this card is here again.")
        terminal.wait_for(r"card 2 of 12 .* 1 tagged")
        terminal.settle()
        assert typed(terminal) == "6 gold nm"
        terminal.wait_for("Gold /99 · Near Mint")
        terminal.send("\r")
        terminal.wait_for("2 tagged")
        terminal.signal(signal.SIGHUP)
        terminal.wait_exit()
    assert not (lot.folder / ".lot.hint").exists()
    with lot.open() as terminal:
        terminal.wait_for(r"card 3 of 12 .* 2 tagged")
        assert "here again" not in terminal.text()
        terminal.send("\x1a")
        terminal.wait_for("1 tagged")
        assert "number, name, parallel" in typed(terminal)
