"""What is typed at the real terminal: series and prefixed numbers of one list, and a lot without
any list, whose cards are known to the next one."""

from __future__ import annotations

import sys
from pathlib import Path

from support.drawn import draw_scans
from support.folders import own_folders
from support.terminal import Terminal

OPEN = [sys.executable, "-m", "tagger", "open"]
F4, CLEAR, LEAVE = "\x1bOS", "\x0b", "\x18"


def _list() -> str:
    lines = ["set,number,subject,suit"]
    for suit, name in (("Bells", "Ada"), ("Crowns", "Bo")):
        lines += [f"Tidewater,{at},{name} Card{'abcdefghijkl'[at]},{suit}" for at in range(1, 11)]
    lines += [f"Tidewater,RC-{at},Rookie {'abcdefghijkl'[at]},Bells" for at in range(1, 11)]
    lines += [
        "Tidewater,007,Nora Zero,Bells",
        "Farland,1,Ken Klaine,",
        "Tidewater,99,Kali Moor,Bells",
    ]
    return "\n".join(lines) + "\n"


def test_what_is_typed_exactly_series_and_prefixes(tmp_path: Path) -> None:
    (tmp_path / "list.csv").write_text(_list(), encoding="utf-8")
    draw_scans(tmp_path / "lot", 12, size=(50, 70))
    command = [*OPEN, str(tmp_path / "lot"), "--checklist", str(tmp_path / "list.csv")]
    with Terminal(command, columns=120, rows=40, env=own_folders(tmp_path)) as terminal:
        terminal.wait_for("card 1 of")
        terminal.send("crowns 3")
        terminal.wait_for("#3 BO CARDD")
        terminal.wait_for("Tidewater · Crowns")
        terminal.send("\r")
        # a number alone is of the same series, and the other one stands in the list with its name
        terminal.wait_for("card 2 of")
        terminal.send("9")
        terminal.wait_for("#9 BO CARDJ")
        terminal.wait_for("#9 +Ada Cardj (base )?Bells")
        terminal.send(CLEAR + "r5")
        terminal.wait_for("#RC-5 ROOKIE F")
        terminal.send("\r")
        terminal.wait_for("card 3 of")
        terminal.send("9")
        terminal.wait_for("#RC-9 ROOKIE J")
        terminal.send(CLEAR + "#007")
        terminal.wait_for("#007 NORA ZERO")
        terminal.send(CLEAR + "klai")
        terminal.wait_for("#1 KEN KLAINE")
        # what no list has is known once it was typed, and marked
        terminal.send(CLEAR + "#900 zora quell" + F4)
        terminal.wait_for("this one: F4 again")
        terminal.send(F4)
        terminal.wait_for("card 4 of")
        terminal.send("quel")
        terminal.wait_for("#900 ZORA QUELL")
        terminal.wait_for("Tidewater · unlisted")
        terminal.send(LEAVE)
        terminal.wait_exit()


def test_a_lot_without_a_list_is_worked_at_by_enter_alone(tmp_path: Path) -> None:
    env = own_folders(tmp_path)
    for name in ("one", "two"):
        draw_scans(tmp_path / name, 6, size=(50, 70))
    with Terminal([*OPEN, str(tmp_path / "one")], columns=80, rows=24, env=env) as terminal:
        terminal.wait_for("card 1 of")
        terminal.send("set=old_ferry 23 ada marsh\r")
        terminal.wait_for("card 2 of")
        terminal.wait_for("type its name")
        terminal.send("bo lund")
        terminal.wait_for("#24 BO LUND")
        terminal.send("\r")
        terminal.wait_for("card 3 of")
        # hostile text is taken as text
        terminal.send("[red]x[/] =1+1\r")
        terminal.wait_for("card 4 of")
        terminal.send(LEAVE)
        terminal.wait_exit()
    with Terminal([*OPEN, str(tmp_path / "two")], columns=80, rows=24, env=env) as terminal:
        terminal.wait_for("card 1 of")
        terminal.send("lu")
        terminal.wait_for("#24 BO LUND")
        terminal.wait_for("Old Ferry · unlisted")
        terminal.send("\r")
        terminal.wait_for("card 2 of")
        # the set is of the card before, and names come back with the next number
        terminal.send("ada")
        terminal.wait_for("25")
        terminal.send(LEAVE)
        terminal.wait_exit()
