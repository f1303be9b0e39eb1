"""Going back at the real terminal: a tagged card shows itself, and what is typed there changes what
it names and nothing else."""

from __future__ import annotations

import pytest
from support.opened import Lot
from support.terminal import Terminal

PGUP, F3, F5, UNDO, LEAVE = "\x1b[5~", "\x1bOR", "\x1b[15~", "\x1a", "\x18"
CLEAR, RIGHT = "\x0b", "\x1b[C"


@pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=["80x24", "120x40"])
def test_one_field_of_a_tagged_card_is_corrected(lot: Lot, size: tuple[int, int]) -> None:
    with lot.open(*size) as terminal:
        terminal.send("nm at=box 1" + F5 + "5\r6\r7\r8 gold 12/99\r")
        terminal.wait_for("card 5 of 12")
        terminal.send("poor at=box 9" + F5 + PGUP)
        terminal.wait_for("Enter keeps")
        terminal.settle()
        text = terminal.text()
        for own in ("#8 ", "Gold 12/99", "Near Mint", "place: box 1", "1987 Harbor Light"):
            assert own in text
        assert "for the next cards" in text
        assert "condition Poor" in text
        terminal.send("ex")
        terminal.wait_for("Enter changes")
        terminal.wait_for("condition: Near Mint → Excellent")
        terminal.send("\r")
        terminal.wait_for("Card 4: condition Excellent, was Near Mint.")
        terminal.send(PGUP)
        terminal.wait_for(r"tagged: #8 .*Gold 12/99, Excellent")
        terminal.send("at=box 2\r")
        terminal.wait_for("Card 4: place box 2, was box 1.")
        terminal.send("at=b")  # a place is typed once, and then begun
        terminal.wait_for("at=b  → ox 2")
        terminal.send(RIGHT)
        terminal.wait_for("place: box 2")
        terminal.send(CLEAR + UNDO)
        terminal.wait_for("card 4 of 12")
        terminal.wait_for("place: box 1")
        _price(terminal)
        terminal.send(LEAVE)
        terminal.wait_exit()


def _price(terminal: Terminal) -> None:
    """The dealer's own price at the card in front, for many, and in the filter."""
    terminal.send("price=free")
    terminal.wait_for("'free' is not a price")
    terminal.send("\r")
    terminal.wait_for("card 4 of 12")
    terminal.send(CLEAR + "price=2.00\r")
    terminal.wait_for("Card 4: price 2.00, was none.")
    terminal.send(PGUP)
    terminal.wait_for(r"price: 2\.00 \(yours\)")
    terminal.send("pri=3,50")
    terminal.wait_for("price: 2.00 → 3,50")
    terminal.send("\r")
    terminal.wait_for("Card 4: price 3,50, was 2.00.")
    terminal.send(UNDO)
    terminal.wait_for("price: 2.00")
    terminal.send(F3 + "1-2" + F5 + "price=0.50")
    terminal.wait_for(r"2 cards: price 0\.50 \(2 had none\)")
    terminal.send("\r")
    terminal.wait_for("Done: 2 cards: price 0.50")
    terminal.send(CLEAR + "price=0,5")
    terminal.wait_for("2 of 12")
    terminal.send(F3)
    terminal.wait_for("card 4 of 12")
