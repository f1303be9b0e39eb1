"""What stands where at the real terminal: nothing that matters is cut, at whatever size."""

from __future__ import annotations

from collections.abc import Callable

from support import drawn
from support.opened import Lot
from support.terminal import Terminal

F3, LOOK, F7, F5, LEAVE = "\x1bOR", "\x04", "\x1b[18~", "\x1b[15~", "\x18"
DOWN, PGUP = "\x1b[B", "\x1b[5~"
SISTERS = [f"1987 Harbor Light Anniversary Edition Series {at} Retail" for at in range(1, 5)]
PLACE = "shelf 14, box 3, row 2"


def empty_below_the_pictures(terminal: Terminal) -> int:
    """Rows without a cell left of the panel, between the pictures and the lines below them."""
    screen = terminal.screen
    left = next(line.index("Enter ") for line in screen.display if "Enter " in line) - 1
    desk = screen.buffer[screen.lines - 3][0].bg  # the message's line is empty

    def empty(row: int) -> bool:
        cells = [screen.buffer[row][x] for x in range(left)]
        return all(cell.data == " " and cell.bg == desk for cell in cells)

    return sum(map(empty, range(1, screen.lines - 4)))


def test_four_sister_sets_a_resize_the_big_view_and_the_overview(
    make_lot: Callable[..., Lot],
) -> None:
    rows = [row for name in SISTERS for row in drawn.set_rows(name, 30, seed=5)]
    lot = make_lot(4, rows)
    with lot.open(120, 39) as terminal:
        terminal.send("#7")
        terminal.wait_for(r"unsure \d+% · 1 of 4")
        for at in range(1, 5):
            terminal.wait_for(rf"#7 .*· 1987.*Series {at}")
        terminal.settle()
        assert empty_below_the_pictures(terminal) <= 3
        for size in ((120, 40), (80, 24)):
            terminal.resize(*size)
            terminal.wait_for(r"1 of 4")
            # what was drawn last may still be of the size before
            terminal.pump(15, lambda: empty_below_the_pictures(terminal) <= 3)
            terminal.settle()
            assert empty_below_the_pictures(terminal) <= 3
        terminal.wait_for(r"or ↓ #7 .*· 1987.*Series 2")
        terminal.send(DOWN)
        terminal.wait_for(r"2 of 4")
        terminal.wait_for(r"or ↓ #7 .*· 1987.*Series 3")
        said = " ".join(line[27:].strip() for line in terminal.screen.display)
        assert SISTERS[1] in " ".join(said.split())
        terminal.send(f" nm at={PLACE}\r")
        terminal.wait_for("card 2 of 4")
        # an Enter behind the big view closes it and takes nothing
        terminal.send(PGUP + LOOK)
        terminal.wait_for(r"zoom back, scan_0002[\s\S]*Enter close · ← ↑ ↓ → move")
        terminal.send(F7)
        terminal.wait_for("zoom front, scan_0001")
        terminal.send("\r")
        terminal.wait_for(r"card 1 of 4[\s\S]*Enter keeps it as it is")
        terminal.send(F3)
        terminal.wait_for("all 4 cards")
        terminal.wait_for(rf"▸ +1 \+ #7 .* NM +{PLACE} 87 Harbor.*1 Retail")
        terminal.send(F3 + LEAVE)
        assert terminal.wait_exit() == 0
