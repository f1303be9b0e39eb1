"""The history, warnings and the review as they stand on the screen, at a small and a usual size."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest
from support import drawn
from support.at_night import at_night
from support.opened import Lot

SHIFT_LEFT, REVIEW, UNDO, REDO, DOWN = "\x1b[1;2D", "\x16", "\x1a", "\x19", "\x1b[B"
RUN = "#22\r#23\r#24\r#25\r#26\r"
# What is laid out where is for tests/unit/ui/test_screen_layouts.py; here it is what the keys do.
SMALL = pytest.mark.parametrize(("columns", "rows"), [(80, 24), at_night(120, 40)])
LARGE = pytest.mark.parametrize(("columns", "rows"), [(120, 40), at_night(80, 24)])


@pytest.fixture
def long(make_lot: Callable[..., Lot]) -> Lot:
    """Twelve cards, and a set of 400."""
    return make_lot(12, drawn.set_rows("1987 Harbor Light", 400, seed=5))


@LARGE
def test_the_history_is_there_at_once_and_after_a_quiet_while(
    long: Lot, columns: int, rows: int
) -> None:
    with long.open(columns, rows) as terminal:
        terminal.send("#22\r")
        terminal.wait_for("card 2 of 12")
        terminal.wait_for("F12")  # the audit is over: nothing else draws the screen afresh
        terminal.settle(0.5)
        terminal.send(SHIFT_LEFT)
        terminal.wait_for(r"▸ \d\d:\d\d  card 1: #22")


@SMALL
def test_the_history_goes_to_the_card_where_it_was(long: Lot, columns: int, rows: int) -> None:
    names = [row.subject for row in drawn.set_rows("1987 Harbor Light", 400, seed=5)]
    with long.open(columns, rows) as terminal:
        terminal.send(f"{RUN}{UNDO}{SHIFT_LEFT}")
        terminal.wait_for("undone: 1")
        terminal.settle()
        lines = terminal.text().splitlines()
        assert [
            line.partition("  card ")[2].strip()
            for line in lines
            if "  card " in line and ":" in line[:9]
        ] == [f"{at}: #{at + 21} {names[at + 20]}, base, was untagged" for at in (4, 3, 2, 1, 5)]
        terminal.wait_gone("scan_0009")
        terminal.send(REDO)
        terminal.wait_for(r"▸ \d\d:\d\d  card 5: #26")
        terminal.settle()
        assert "undone:" not in terminal.text()
        terminal.send(f"{UNDO}{DOWN}{DOWN}")
        terminal.wait_for(r"▸ \d\d:\d\d  card 2: #23")
        terminal.send("\r")
        terminal.wait_for("card 2 of 12")
        terminal.wait_for("front scan_0003.jpg")
        terminal.settle()
        assert f"Changed here: card 2: #23 {names[22]}, base, was untagged." in terminal.text()
        terminal.send(f"{SHIFT_LEFT}{SHIFT_LEFT}")
        terminal.wait_for("front scan_0003.jpg")
        terminal.send(f"{SHIFT_LEFT}#77")  # any other key closes the list and does its own work
        terminal.wait_for("▸ #77")
        terminal.wait_for("front scan_0003.jpg")


@LARGE
def test_a_slip_is_warned_of_before_enter_and_after_it(long: Lot, columns: int, rows: int) -> None:
    with long.open(columns, rows) as terminal:
        terminal.send(f"{RUN}#277")
        terminal.wait_for("#277 is out of sequence; #27 would")
        terminal.settle()
        assert "Enter accepts" in terminal.text()
        terminal.send("\r")
        terminal.wait_for(
            r"Check again: #277 is out of sequence; #27 would follow #26 of card 5\. Card 6"
        )
        terminal.wait_for("card 7 of 12")
        terminal.send("#30 g 12/99\r#30 g 12/99")
        terminal.wait_for("card 7 already has serial number")


def test_a_slip_in_a_sparse_tray_and_sets_by_turns(make_lot: Callable[..., Lot]) -> None:
    """Each seventh card of a set; then cards of two sister sets in turn, of which a number alone is
    sure only where it is that set's turn, or the next of the carried set's pile."""
    sister = "1988 Harbor Light"
    rows = drawn.set_rows("1987 Harbor Light", 400, seed=5) + drawn.set_rows(sister, 400, seed=6)
    lot = make_lot(40, rows, (60, 84))
    with lot.open() as terminal:
        terminal.send("set=1987 103\r110\r116\r123\r130\r136\r143\r15")
        terminal.wait_for("#15 is out of sequence; #1")
        terminal.wait_for("follow #143 of card 7")
        terminal.send("\x0b150")
        terminal.wait_gone("out of sequence")
        terminal.send("\r")
        for at in range(6):
            terminal.send(f"set=1988 {201 + at}\rset=1987 {157 + at}\r")
        terminal.wait_for("card 21 of 40")
        terminal.wait_for(r"#207")  # with nothing typed the other pile goes on
        terminal.send("207")
        terminal.wait_for(r"Enter accepts +sure")
        terminal.settle()
        assert sister in terminal.text()
        # the next of the carried set's own pile: whoever meant the other set named it so far
        terminal.send("\x0b163")
        terminal.wait_for(r"#163 ")
        terminal.wait_for(r"Enter accepts +sure")
        terminal.send("\x0b290")
        terminal.wait_for(r"Enter accepts +unsure")


@SMALL
def test_the_review_takes_one_key_a_card(
    long: Lot, own_folders: object, columns: int, rows: int
) -> None:
    config = Path(os.environ["XDG_CONFIG_HOME"]) / "tagger" / "config.toml"
    config.parent.mkdir(parents=True, exist_ok=True)
    config.write_text('[reasons]\nb = "bent"\n[value]\ncloser_look = "0.25"\n', encoding="utf-8")
    with long.open(columns, rows) as terminal:
        terminal.send("#22")
        terminal.wait_for("worth a closer look: price 0.25")
        terminal.send("\rb\x1bOQ")
        terminal.wait_for("Card 2 is set aside: bent")
        terminal.send(REVIEW)
        terminal.wait_for("card 1 of 12")
        terminal.wait_for(r"in review, 2 left: .*worth a")
        terminal.send("\r")
        terminal.wait_for("card 2 of 12")
        terminal.wait_for("Card 2: set aside · this is the only one left")
        # typing tags as always; this card is in question for its price
        terminal.send("#23 g 12/99\r")
        terminal.wait_for("card 2 of 12 .*2 tagged")
        terminal.send("\r")
        terminal.wait_for("That was the last one to review. Card 2 stays as it is.")
        terminal.send("\x1b[20~")
        terminal.wait_for("F9 closes")
        terminal.settle()
        terminal.send("reason")
        terminal.wait_for("Reasons: the short word, then F2")
        terminal.wait_for(r"b +bent")
