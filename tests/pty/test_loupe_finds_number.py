"""The loupe on the screen finds the number of a design that it never saw, and a frame shows where
it is."""

from __future__ import annotations

import random
from collections.abc import Callable

import pytest
from support import drawn
from support.backs.numbered import NumberedSide, cards_of
from support.backs.stamped import stamped
from support.card_art import full_bleed
from support.opened import Lot
from support.scanned import Scanner, fed, jpeg
from support.terminal import Terminal

HOME, END = "\x1b[H", "\x1b[F"
CARDS = 4


@pytest.fixture
def backs() -> list[NumberedSide]:
    return cards_of(stamped, "terminal 2", CARDS)


@pytest.fixture
def lot(make_lot: Callable[..., Lot], backs: list[NumberedSide]) -> Lot:
    """Cards of one design, as a scanner gives them."""
    lot = make_lot(CARDS, drawn.set_rows("1987 Harbor Light", 60, seed=5))
    rng = random.Random(3)
    scanner = Scanner.any(rng, "black")
    for at, back in enumerate(backs):
        for side, art in enumerate((full_bleed(rng, "held").picture, back.picture)):
            scan = fed(art, rng, scanner=scanner, skew=1.0)
            (lot.folder / f"scan_{2 * at + side + 1:04}.jpg").write_bytes(jpeg(scan.picture))
    return lot


def frame(terminal: Terminal) -> tuple[float, float, float, float] | None:
    """The frame on the back's preview, as fractions of the view below its title."""
    lines = terminal.screen.display
    top = next((y for y, line in enumerate(lines) if " back scan_" in line), None)
    if top is None:
        return None
    left = lines[top].index(" back scan_")
    lower = next(y for y, line in enumerate(lines) if " loupe " in line)
    corners = {
        sign: [(x, y) for y in range(top, lower) for x in range(left, left + 41)
               if terminal.screen.buffer[y][x].data == sign]
        for sign in "┌┘"
    }  # fmt: skip
    if not all(corners.values()):
        return None
    (x0, y0), (x1, y1) = corners["┌"][0], corners["┘"][0]
    high = lower - top - 1
    return (x0 - left) / 40, (y0 - top - 1) / high, (x1 + 1 - left) / 40, (y1 - top) / high


def test_the_loupe_finds_the_number_of_a_new_design_and_a_frame_shows_where(
    lot: Lot, backs: list[NumberedSide]
) -> None:
    left, top, right, lower = backs[0].box
    x, y = (left + right) / 2 / 750, (top + lower) / 2 / 1050

    def there() -> bool:
        seen = frame(terminal)
        return seen is not None and seen[0] < x < seen[2] and seen[1] < y < seen[3]

    with lot.open() as terminal:
        assert terminal.pump(60, there), terminal.text()
        found = frame(terminal)
        terminal.send(END)
        terminal.pump(10, lambda: frame(terminal) != found)
        terminal.settle()
        assert not there()
        terminal.send(HOME)
        assert terminal.pump(10, there), terminal.text()
        # where a hint is typed, both keys edit it
        terminal.send("23")
        terminal.send(HOME + "1")
        terminal.wait_for("▸ 123")
        terminal.send(END + "4")
        terminal.wait_for("▸ 1234")
        assert there()
