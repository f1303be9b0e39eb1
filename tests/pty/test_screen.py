"""What the screen shows, at every size and in every kind of colours."""

from __future__ import annotations

import re
import sys
from collections.abc import Callable

import pytest
from support import drawn
from support.at_night import at_night
from support.opened import Lot
from support.terminal import BEGIN, END, Terminal

SIZES = [(80, 24), (120, 40), (200, 60)]


@pytest.mark.parametrize(("columns", "rows"), SIZES)
def test_all_that_matters_is_there(lot: Lot, columns: int, rows: int) -> None:
    with lot.open(columns, rows) as terminal:
        terminal.send("22\rnm at=box 3, row 2\x1b[15~23 g 12/99")
        terminal.wait_for(r"Gold 12/99")
        terminal.settle()
        text = terminal.text()
        name = drawn.set_rows("1987 Harbor Light", 120, seed=5)[22].subject
        assert re.search(rf"Enter accepts .*\n(.*\n){{0,6}}.*#23 {name.upper()}", text)
        for fact in (
            "card 2 of 12",
            "1 tagged",
            "Gold 12/99 · Near Mint",
            "1987 Harbor Light",
            "for the next cards",
            "last: ",
        ):
            assert fact in text
        for carried in ("set 1987 Harbor Light", "condition Near Mint", "place box 3, row 2"):
            assert carried in text
        assert "▸ 23 g 12/99" in text
        assert "Enter accept" in text.splitlines()[-1]
        assert "F9 help" in text.splitlines()[-1]
        assert "front scan_0003.jpg" in text
        assert ("back scan_0004.jpg" in text) == (columns > 80)
        assert sum(text.count(block) for block in "▀▄█") > 100


def test_the_first_frame_that_is_sent_has_the_card_on_it(lot: Lot) -> None:
    with lot.open(120, 40) as terminal:
        first = bytes(terminal.raw).partition(BEGIN)[2].partition(END)[0]
    assert b"card 1 of 12" in first


def test_the_small_screen_flips_with_one_key(lot: Lot) -> None:
    with lot.open(80, 24) as terminal:
        terminal.send("\x1b[18~")
        terminal.wait_for("back scan_0002.jpg")
        terminal.wait_gone("front scan_0001.jpg")
        terminal.send("\x1b[18~")
        terminal.wait_for("front scan_0001.jpg")


def test_resizing_lays_the_desk_out_afresh(lot: Lot) -> None:
    with lot.open(120, 40) as terminal:
        terminal.send("23")
        for columns, rows in [(80, 24), (200, 60), (100, 30), (120, 40)]:
            terminal.resize(columns, rows)

            def laid_out(columns: int = columns, rows: int = rows) -> bool:
                text = terminal.text()
                typed = "▸ 23" in text.splitlines()[rows - 2]
                both = "back scan_0002.jpg" in text
                return typed and "card 1 of 12" in text and both == (columns > 80)

            # what was drawn last may still be of the size before, on a busy machine for seconds
            assert terminal.pump(15, laid_out), terminal.text()
        terminal.send("\r")
        terminal.wait_for("card 2 of 12")


def colours(terminal: Terminal) -> tuple[set[str], bytes]:
    terminal.settle()
    shown = {cell.fg for row in terminal.screen.buffer.values() for cell in row.values()}
    return shown, bytes(terminal.raw)


def test_256_colours_send_indexed_colours_only(lot: Lot) -> None:
    with lot.open() as terminal:
        _, raw = colours(terminal)
        assert b"38;5;" in raw
        assert b"38;2;" not in raw


def test_truecolour_is_used_where_the_terminal_has_it(lot: Lot) -> None:
    with lot.open(COLORTERM="truecolor") as terminal:
        _, raw = colours(terminal)
        assert b"48;2;" in raw


def test_sixteen_colours_send_nothing_finer(lot: Lot) -> None:
    with lot.open(80, 24, TERM="xterm") as terminal:
        terminal.send("23")
        terminal.wait_for("#23")
        _, raw = colours(terminal)
        assert b"38;5;" not in raw
        assert b"38;2;" not in raw
        assert re.search(rb"\x1b\[(3|4|9|10)[0-7]", raw)


def test_no_color_holds_for_previews_too(lot: Lot) -> None:
    with lot.open(NO_COLOR="1") as terminal:
        terminal.send("23")
        terminal.wait_for("#23")
        shown, _ = colours(terminal)
        hexes = {colour for colour in shown if re.fullmatch(r"[0-9a-f]{6}", colour)}
        assert hexes
        assert all(colour[:2] == colour[2:4] == colour[4:] for colour in hexes)
        assert shown - hexes <= {"default", "black", "white"}


@pytest.mark.parametrize("term", ["dumb", ""])
def test_a_terminal_that_cannot_place_text_gets_one_sentence(lot: Lot, term: str) -> None:
    with lot.start(TERM=term) as terminal:
        assert terminal.wait_exit() == 2
        assert "TERM" in terminal.text()
        assert b"\x1b" not in terminal.raw


def test_help_lists_every_key_and_that_of_another_command_goes_on_working(lot: Lot) -> None:
    with lot.open() as terminal:
        terminal.send("23\x1b[20~")
        terminal.wait_for("tag the card as typed, though no checklist has it")
        terminal.send("\x1bOQ")  # F2
        terminal.wait_for("1 set aside")
        terminal.settle()
        assert "tag the card as typed" not in terminal.text()


@pytest.mark.parametrize(("columns", "rows"), [(80, 24), at_night(120, 40), at_night(200, 60)])
def test_what_is_typed_narrows_the_help_and_leaves_the_hint_alone(
    lot: Lot, columns: int, rows: int
) -> None:
    with lot.open(columns, rows) as terminal:
        terminal.send("23\x1b[20~")
        terminal.wait_for("Useful here now")
        for key in "box=":  # what is typed in one field is as good as any: `=` is no command here
            terminal.send(key)
        terminal.wait_for("Nothing here has 'box='")
        terminal.send("\x7f")
        terminal.wait_for(r"at=box 3, row 2 +the place")
        assert "▸ box" in terminal.text().splitlines()[-2]
        terminal.send("\x17set aside")
        terminal.wait_for(r"F2 +leave the card for later")
        terminal.wait_gone("undo the last change, also one")
        terminal.send("\r")
        terminal.wait_for("Enter accepts")
        terminal.settle()
        assert "▸ 23" in terminal.text().splitlines()[-2]
        assert "card 1 of 12" in terminal.text()


def test_the_help_scrolls_to_its_end_and_no_further(lot: Lot) -> None:
    with lot.open(80, 24) as terminal:
        terminal.send("\x1b[20~" + "\x1b[6~" * 30)
        terminal.wait_for("Check the card itself before you describe it")
        terminal.send("\x1b[A" * 3)
        terminal.wait_for(r"Cautions")
        terminal.settle()
        assert "Check the card itself" not in terminal.text()
        terminal.send("\x1b[20~")
        terminal.wait_for("Enter accepts")


def test_a_rebound_key_works_and_shows(lot: Lot, own_folders: object) -> None:
    import os
    from pathlib import Path

    config = Path(os.environ["XDG_CONFIG_HOME"]) / "tagger" / "config.toml"
    config.parent.mkdir(parents=True, exist_ok=True)
    config.write_text('[keys]\nchoose = []\nset_aside = ["insert"]\n', encoding="utf-8")
    with lot.open() as terminal:
        terminal.wait_for("Insert set aside")
        terminal.send("bent\x1b[2~")
        terminal.wait_for("card 2 of 12 .* 1 set aside")
    config.write_text('[keys]\nset_asid = ["insert"]\n', encoding="utf-8")
    with lot.start() as terminal:
        assert terminal.wait_exit() == 2
        said = "".join(terminal.screen.display)
        assert "set_asid: unknown command; did you mean set_aside?" in said
        assert "config.toml" in said


def test_one_key_says_what_each_word_was_read_as(lot: Lot) -> None:
    with lot.open() as terminal:
        terminal.send("23 g nm\x0f")
        terminal.wait_for("Read as: nm: condition · 23: number · g: parallel")
        terminal.send("\r")
        terminal.wait_for("card 2 of 12")


def test_nothing_is_sent_while_nothing_happens(lot: Lot) -> None:
    with lot.open() as terminal:
        terminal.pump(20, lambda: "F12" in terminal.text().splitlines()[0])  # the audit is done
        terminal.settle(0.5)
        before = terminal.bytes_out
        terminal.pump(2.0)
        assert terminal.bytes_out == before


def test_a_lot_without_a_checklist_is_tagged_as_unlisted(
    make_lot: Callable[..., Lot], tagger: list[str]
) -> None:
    lot = make_lot(2, drawn.set_rows("x", 1, 1))
    with Terminal([sys.executable, "-m", "tagger", "open", str(lot.folder)]) as terminal:
        terminal.wait_for("no checklist")
        terminal.send("17 ada marsh set=1987_harbor_light nm\x1bOS")
        terminal.wait_for("card 2 of 2 .* 1 tagged")
    card = lot.cards()[0]
    assert (card["set"], card["number"], card["subject"], card["condition"]) == (
        "1987 Harbor Light", "17", "Ada Marsh", "Near Mint",
    )  # fmt: skip
