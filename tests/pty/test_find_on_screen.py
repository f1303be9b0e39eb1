"""The find screen in the real program: what is listed, how it is opened and marked, and what a
burst of keys does."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest
from support.at_night import at_night
from support.commands import told_by
from support.found_lots import card, tagged_lot, three_lots
from support.terminal import Terminal

from tagger.store.lot.lot_file import LotFile, read_lot
from tagger.store.machine.paths import LotPlace

F4, F7, F9 = "\x1bOS", "\x1b[18~", "\x1b[20~"
DOWN, UNDO, LEAVE, REDRAW, CTRL_K = "\x1b[B", "\x1a", "\x18", "\x0c", "\x0b"


@pytest.fixture
def lots(tmp_path: Path) -> list[LotPlace]:
    return three_lots(tmp_path)


def screen(
    tagger: list[str], columns: int = 120, rows: int = 40, *words: str, **env: str
) -> Terminal:
    """The find screen, once the lots are read."""
    terminal = Terminal([*tagger, "find", "--screen", *words], columns=columns, rows=rows, env=env)
    terminal.wait_for(r"\b[1-9]\d* lots? $|\b[1-9]\d* lots? *\n")
    return terminal


def listed(terminal: Terminal) -> list[tuple[str, str, str]]:
    """(lot, position, from the front or how it left) of the copies on the screen."""
    found = []
    for line in terminal.screen.display[2:-4]:
        if match := re.match(r"[▸ ] (box \d+) .*? (\d+) of \d+ +(\w+)", line):
            found.append((match[1], match[2], match[3]))
    return found


def lists(terminal: Terminal, wanted: list[tuple[str, str, str]]) -> None:
    terminal.pump(10, lambda: listed(terminal) == wanted)
    assert listed(terminal) == wanted, terminal.text()


@pytest.mark.parametrize(
    ("size", "env"),
    [
        at_night((120, 40), {}),
        at_night((80, 24), {"NO_COLOR": "1"}),
        ((80, 24), {"TERM": "xterm"}),
        at_night((200, 60), {}),
    ],
)
def test_a_hint_lists_what_the_command_tells(
    lots: list[LotPlace], tagger: list[str], size: tuple[int, int], env: dict[str, str]
) -> None:
    wanted = listed_by_command("23", "marsh")
    assert sorted({lot for lot, _, _ in wanted}) == ["box 12", "box 13", "box 14"]
    with screen(tagger, *size, **env) as terminal:
        terminal.send("23 marsh")
        lists(terminal, wanted)
        terminal.wait_for(r"4 cards in 3 lots")
        lot, position, front = wanted[0]
        terminal.wait_for(
            rf"{lot}: box 3, row 2, card {position} of 4; {front} from the front, between #45 and "
            r"#47"
        )
        terminal.send(" gold")
        lists(terminal, [("box 12", "4", "4")])
        terminal.wait_for("the last, after #47")
        terminal.send("zzz")
        terminal.wait_for("No card in the lots opened on this machine matches")
        terminal.send(LEAVE)
        assert terminal.wait_exit() == 0


def test_words_of_the_command_line_are_there_from_the_beginning(
    lots: list[LotPlace], tagger: list[str]
) -> None:
    with screen(tagger, 80, 24, "7", "torwick") as terminal:
        lists(terminal, [("box 13", "1", "1")])
        terminal.wait_for(r"▸ 7 torwick")
        terminal.send(f"{CTRL_K}at=")
        terminal.wait_for("Type a number, a name, a place")


def test_both_sides_stand_beside_the_list_or_instead_of_it(
    lots: list[LotPlace], tagger: list[str]
) -> None:
    with screen(tagger) as terminal:
        terminal.send("marsh")
        terminal.wait_for("front scan_0003.jpg")
        terminal.wait_for("back scan_0004.jpg")
        terminal.pump(10, lambda: terminal.text().count("▀") > 100)
        assert terminal.text().count("▀") > 100
        terminal.send(DOWN)
        terminal.wait_for("front scan_0007.jpg")
        terminal.wait_for("back scan_0008.jpg")
        terminal.resize(80, 24)
        terminal.wait_gone("scan_")
        terminal.pump(10, lambda: len(listed(terminal)) == 4)
        assert len(listed(terminal)) == 4
        terminal.send(F7)
        terminal.wait_for(r"front scan_\d+.jpg +back scan_\d+.jpg")
        terminal.pump(10, lambda: not listed(terminal))
        assert listed(terminal) == []
        terminal.send(F7)
        terminal.pump(10, lambda: len(listed(terminal)) == 4)
        assert len(listed(terminal)) == 4


def test_a_lot_is_opened_at_the_card_and_left_again(
    lots: list[LotPlace], tagger: list[str]
) -> None:
    with screen(tagger) as terminal:
        terminal.send(f"kasova\r{F7}")  # what is typed after Enter is for the desk
        terminal.wait_for("box 14  card 2 of 3")
        terminal.wait_for("tagged: #8 Mara Kasova")
        terminal.wait_gone("back scan_0004")
        terminal.wait_for("front scan_0003")
        terminal.send(LEAVE)
        terminal.wait_for(r"find  1 card in 1 lot")
        terminal.wait_for(r"▸ kasova")
        terminal.wait_for("box 14: 3 of 3 cards tagged")
        terminal.send("\r")
        terminal.wait_for("box 14  card 2 of 3")
        terminal.send(LEAVE)
        terminal.wait_for(r"▸ kasova")
        terminal.wait_for("box 14: 3 of 3 cards tagged")
        terminal.send(LEAVE)
        assert terminal.wait_exit() == 0
    assert read_lot(lots[2].home).cursor.position == 1  # it was only looked at


def test_what_is_changed_at_the_desk_is_found_when_it_is_left(
    lots: list[LotPlace], tagger: list[str]
) -> None:
    with screen(tagger) as terminal:
        terminal.send("kasova\r")
        terminal.wait_for("tagged: #8 Mara Kasova")
        terminal.send("\x14")  # Ctrl+T: all tags off
        terminal.wait_gone("tagged: #8")
        terminal.send(LEAVE)
        terminal.wait_for("No card in the lots opened on this machine matches")
        terminal.wait_for("box 14: 2 of 3 cards tagged")
    assert read_lot(lots[2].home).cursor.position == 2


def test_a_lot_that_is_open_elsewhere_is_said(lots: list[LotPlace], tagger: list[str]) -> None:
    other = LotFile(lots[2].home, "box 14")
    try:
        with screen(tagger, 80, 24) as terminal:
            terminal.send("kasova\r")
            terminal.wait_for("box 14 is already open")
            lists(terminal, [("box 14", "2", "2")])
            terminal.send(f"{F4}\r")
            terminal.pump(1)
            assert read_lot(lots[2].home).card_at(2).mark.gone == ""
    finally:
        other.close()


def test_a_card_is_sold_pulled_there_again_and_counted(
    lots: list[LotPlace], tagger: list[str]
) -> None:
    with screen(tagger, 80, 24) as terminal:
        terminal.send("23 marsh near")
        lists(terminal, before := listed_by_command("23", "marsh", "near"))
        assert before[0][:2] == ("box 12", "2")
        terminal.send(F4)
        terminal.wait_for("marks card 2 of box 12 as sold")
        terminal.send("\r")
        terminal.wait_for("box 12: Card 2 sold: #23 Ada Marsh")
        lists(terminal, [(*before[0][:2], "sold"), *listed_by_command("23", "marsh", "near")])
        terminal.wait_for(r"3 cards in 3 lots · 1 sold or pulled")
        assert ("box 12", "4", "3") in listed(terminal)  # one fewer from the front
        terminal.send(f"{F4}{F4}")
        terminal.wait_for("marks card 2 of box 12 as pulled")
        terminal.send("\r")
        terminal.wait_for("Card 2 pulled")
        terminal.send(UNDO)
        terminal.wait_for("Undone: card 2 pulled")
        terminal.wait_for(r"2 of 4 +sold")
        terminal.send(F4)
        terminal.wait_for("as returned")
        terminal.send("\r")
        lists(terminal, before)
        terminal.send(f"{F4}x")  # any other key ends the question and does its own work
        terminal.wait_for(r"▸ 23 marsh nearx")
        terminal.send(LEAVE)
        assert terminal.wait_exit() == 0
    assert read_lot(lots[0].home).card_at(2).mark.gone == ""


def listed_by_command(*words: str) -> list[tuple[str, str, str]]:
    told = json.loads(told_by("find", *words, "--json", status=None))
    return [(card["lot"], str(card["position"]), str(card["depth"])) for card in told["cards"]]


def test_a_card_sold_elsewhere_meanwhile_is_not_marked_again(
    lots: list[LotPlace], tagger: list[str]
) -> None:
    with screen(tagger, 80, 24) as terminal:
        terminal.send("kasova")
        lists(terminal, [("box 14", "2", "2")])
        told_by("sold", lots[2].folder, "2", "--pulled")
        terminal.send(f"{F4}\r")
        terminal.wait_for("box 14 was changed in the meantime")
        lists(terminal, [("box 14", "2", "pulled")])
    assert read_lot(lots[2].home).card_at(2).mark.gone == "pulled"


def recorded(notes: Path, slowly: str) -> Terminal:
    """The find screen, with each search noted in a file and answered so many seconds later."""
    program = Path(__file__).parents[1] / "support" / "recorded_find.py"
    return Terminal([sys.executable, str(program), str(notes), slowly])


@pytest.mark.parametrize("slowly", [at_night("0"), "0.3"])
def test_keys_in_one_packet_are_one_search(
    lots: list[LotPlace], tmp_path: Path, slowly: str
) -> None:
    notes = tmp_path / "notes"
    with recorded(notes, slowly) as terminal:
        terminal.wait_for(r"3 lots")
        terminal.send("marsh near")
        lists(
            terminal,
            [
                ("box 12", "2", "2"),
                ("box 12", "4", "4"),
                ("box 13", "2", "2"),
                ("box 14", "1", "1"),
            ],
        )
        assert notes.read_text().split("\n") == ["", "marsh near", ""]
        for word in ("x", "y", "z"):
            terminal.send(word)
            terminal.pump(0.05)
        terminal.wait_for("No card in the lots")
        terminal.settle(0.5)
        assert notes.read_text().splitlines()[-1] == "marsh nearxyz"
        assert terminal.text().count("No card") == 1


def test_keys_that_need_the_answer_wait_for_it_and_typing_does_not(
    lots: list[LotPlace], tmp_path: Path
) -> None:
    notes = tmp_path / "notes"
    with recorded(notes, "1") as terminal:
        terminal.wait_for("Type what is on the card")
        terminal.send("kasov")
        terminal.wait_for(r"▸ kasov", seconds=0.9)
        terminal.send("a\r")
        terminal.wait_for("box 14  card 2 of 3")


def test_hostile_text_draws_nothing_else(tmp_path: Path, tagger: list[str]) -> None:
    tags = card(
        "1",
        "Ada Marsh \x1b[2J 灯台灯台灯台灯台",
        "box \x1b]0;x\x07 9",
        set="1987 \u202eHarbor\x1b[31m",
    )
    tagged_lot(tmp_path / "box\x1b[31m \u202e12", [tags, card("2", "Bo Lund")])
    with screen(tagger, 80, 24) as terminal:
        terminal.send("marsh")
        terminal.wait_for(r"#1 Ada Marsh \\x1b\[2J")
        terminal.wait_for("1 card in 1 lot")
        terminal.send(F4)
        terminal.wait_for("marks card 1 of")
        terminal.settle()
        assert "\u202e" not in terminal.text()
        assert b"\x1b]0;x" not in terminal.raw
        terminal.send("\r")
        terminal.wait_for("Card 1 sold")
        terminal.send("\r")
        terminal.wait_for("card 1 of 2")


def test_a_scan_that_is_gone_is_said_where_it_would_be(
    lots: list[LotPlace], tagger: list[str]
) -> None:
    (lots[2].folder / "scan_0003.jpg").unlink()
    with screen(tagger) as terminal:
        terminal.send("kasova")
        terminal.wait_for(r"(?s)front scan_0003.jpg.*missing from")
        terminal.wait_for("back scan_0004.jpg")


def test_without_lots_or_without_a_terminal_there_is_one_sentence(
    tmp_path: Path, tagger: list[str]
) -> None:
    with Terminal([*tagger, "find"]) as terminal:
        assert terminal.wait_exit() == 0
        assert (
            terminal.text().strip()
            == "No lot was opened on this machine yet. Start with: tagger open FOLDER."
        )
    three_lots(tmp_path)
    run = subprocess.run(
        [*tagger, "find"], capture_output=True, text=True, stdin=subprocess.DEVNULL
    )
    assert run.returncode == 2
    assert "needs a terminal" in run.stderr
    assert run.stdout == ""


def test_nothing_is_drawn_while_nothing_happens_and_the_help_has_the_keys(
    lots: list[LotPlace], tagger: list[str]
) -> None:
    with screen(tagger, 80, 24) as terminal:
        terminal.send("marsh")
        terminal.wait_for("4 cards in 3 lots")
        terminal.settle(0.6)
        before = terminal.bytes_out
        terminal.pump(1.5)
        assert terminal.bytes_out == before
        terminal.send(F9)
        terminal.wait_for("mark the card sold, pulled or returned")
        terminal.send(f"{F9}{REDRAW}")
        terminal.pump(10, lambda: len(listed(terminal)) == 4)
        assert len(listed(terminal)) == 4
