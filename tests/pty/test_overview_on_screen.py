"""The overview in the real program: what is listed, where Enter goes, one change to many cards and
the way back."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from support import drawn
from support.opened import Lot
from support.terminal import Terminal

F2, F3, F5 = "\x1bOQ", "\x1bOR", "\x1b[15~"
CTRL_K, CTRL_T, UNDO, REDO, LEAVE = "\x0b", "\x14", "\x1a", "\x19", "\x18"
INSERT, STRETCH, DOWN, END = "\x1b[2~", "\x1b[1;2B", "\x1b[B", "\x1b[F"


def listed(terminal: Terminal) -> list[int]:
    """The positions on the screen, from the top."""
    return [
        int(found[1])
        for line in terminal.screen.display
        if (found := re.match(r"[▸= ][* ] *(\d+) [+!·] ", line))
    ]


def lists(terminal: Terminal, positions: list[int]) -> None:
    """Wait until these cards are listed. Raises AssertionError where they are not."""
    terminal.pump(10, lambda: listed(terminal) == positions)
    assert listed(terminal) == positions


def tag(terminal: Terminal, numbers: list[int]) -> None:
    """Tag the next cards by their numbers."""
    first = int(terminal.wait_for(r"card (\d+) of")[1])
    for at, number in enumerate(numbers, start=first + 1):
        terminal.send(f"{number}\r")
        terminal.wait_for(rf"card {at} of|end of the lot")


@pytest.mark.parametrize(
    ("size", "env"), [((120, 40), {}), ((80, 24), {"NO_COLOR": "1"}), ((80, 24), {"TERM": "xterm"})]
)
def test_a_filter_lists_and_enter_goes_to_the_card(
    lot: Lot, size: tuple[int, int], env: dict[str, str]
) -> None:
    with lot.open(*size, **env) as terminal:
        tag(terminal, [3, 4, 4, 9])
        terminal.send(F3)
        terminal.wait_for("all 12 cards")
        lists(terminal, list(range(1, 13)))
        terminal.wait_for(r"▸ +5 · untagged")
        terminal.send("tagged -9")
        terminal.wait_for("3 of 12 cards")
        lists(terminal, [1, 2, 3])
        terminal.send(f"{CTRL_K}doubles")
        terminal.wait_for("2 of 12 cards")
        terminal.wait_for(r"2 copies: 2, 3")
        terminal.wait_for(r"▸ +2 \+ #4 .* x2")
        terminal.wait_for(r"= +3 \+ #4 .* x2")
        terminal.send(" =")
        terminal.wait_for(r"▸ +3 \+ #4")
        terminal.send("\r")
        terminal.wait_for(r"card 3 of 12")
        terminal.wait_for("tagged: #4 ")
        terminal.send(LEAVE)
        assert terminal.wait_exit() == 0


def test_f3_leaves_the_dealer_and_the_hint_where_they_were(lot: Lot) -> None:
    with lot.open() as terminal:
        tag(terminal, [3, 4])
        terminal.send(f"17{F3}")
        terminal.wait_for("0 of 12 cards")
        terminal.send(f"{CTRL_K}{END}")
        terminal.wait_for(r"▸ +12 ·")
        terminal.send(F3)
        terminal.wait_for("card 3 of 12")
        terminal.wait_for(r"▸ 17 ")
        terminal.send("\r")
        terminal.wait_for("card 4 of 12")
    assert lot.cards()[2]["number"] == "17"


def test_one_change_to_many_cards_and_the_way_back(lot: Lot) -> None:
    with lot.open(80, 24) as terminal:
        tag(terminal, [1, 2, 3, 4, 5, 6])
        terminal.send(f"{F3}1-4{F5}nm g at=box 3")
        terminal.wait_for(
            r"4 cards: parallel Gold \(4 had none\); condition Near Mint \(4 had none\)"
        )
        terminal.send("\r")
        terminal.wait_for("Done: 4 cards")
        terminal.send(f"{CTRL_K}p=gold nm")
        terminal.wait_for("4 of 12 cards")
        terminal.send(UNDO)
        terminal.wait_for("Undone: 4 cards")
        terminal.wait_for("0 of 12 cards")
        terminal.send(REDO)
        terminal.wait_for("4 of 12 cards")
        terminal.send(f"{F5}12/99\r")
        terminal.wait_for("belongs to one card")
        terminal.send(f"{F5}{F3}")
        terminal.wait_for("card 7 of 12")
        terminal.send(LEAVE)
        assert terminal.wait_exit() == 0
    cards = lot.cards()
    assert [card["parallel"] for card in cards] == ["Gold"] * 4 + [""] * 8
    assert [(card["condition"], card["place"]) for card in cards[:5]] == [
        ("Near Mint", "box 3")
    ] * 4 + [("", "")]
    assert not any(card["serial"] for card in cards)


def test_cards_chosen_by_hand_and_by_stretch_are_set_aside_and_cleared(lot: Lot) -> None:
    with lot.open(NO_COLOR="1") as terminal:
        tag(terminal, [1, 2, 3, 4])
        terminal.send(f"{F3}{INSERT}")
        terminal.wait_for(r"1 selected")
        terminal.send(f"{DOWN}{STRETCH}{STRETCH}")
        terminal.wait_for("4 selected")
        terminal.send(f"{F2}water stain")
        terminal.wait_for("4 cards: set aside: water stain")
        assert states(terminal) == {"+": 4, "·": 8}
        terminal.send("\r")
        terminal.wait_for("Done: 4 cards")
        terminal.settle()
        assert states(terminal) == {"+": 4, "!": 4, "·": 4}
        terminal.send(f"tagged{CTRL_T}")
        terminal.wait_for("4 cards: all tags removed")  # those chosen, whatever is listed
        terminal.send(f"{CTRL_T}\x1b[17~{CTRL_T}")
        terminal.wait_for(r"4 cards: all tags removed \(4 tagged\)")
        terminal.send("\r")
        terminal.wait_for("Done: 4 cards")
        terminal.send(LEAVE)
        assert terminal.wait_exit() == 0
    assert lot.status()["tagged"] == 0
    assert lot.status()["set_aside"] == 4


def states(terminal: Terminal) -> dict[str, int]:
    """How many lines of the list have which sign."""
    signs = [
        found[1]
        for line in terminal.screen.display
        if (found := re.match(r"[▸= ][* ] *\d+ ([+!·]) ", line))
    ]
    return {sign: signs.count(sign) for sign in dict.fromkeys(signs)}


def test_a_key_for_one_card_does_nothing_in_the_list(lot: Lot) -> None:
    with lot.open() as terminal:
        terminal.send(f"{F3}17 xyz\x1bOS")  # F4
        terminal.wait_for("That key works on one card")
        terminal.send(f"{F3}{LEAVE}")
        assert terminal.wait_exit() == 0
    assert lot.status()["tagged"] == 0


def test_hostile_text_in_tags_draws_nothing_else(make_lot: Callable[..., Lot]) -> None:
    rows = [
        drawn.Truth(
            "1987 \u202eHarbor\x1b[31m Light",
            "1",
            "Ada \x1b[2JMarsh 灯台灯台灯台灯台灯台灯台灯台灯台",
            "Gulls",
        )
    ]
    with make_lot(3, rows).open(80, 24) as terminal:
        tag(terminal, [1])
        terminal.send(F3)
        terminal.wait_for("all 3 cards")
        terminal.settle()
        line = next(line for line in terminal.screen.display if " + #1" in line)
        assert r"\x1b[2J" in line
        assert "\u202e" not in terminal.text()
        lists(terminal, [1, 2, 3])


def test_a_wide_screen_has_the_front_of_the_card_at_the_cursor(lot: Lot) -> None:
    def picture() -> str:
        return "".join(line[150:] for line in terminal.screen.display[2:40])

    with lot.open(200, 60) as terminal:
        terminal.send(F3)
        terminal.wait_for("front scan_0001.jpg")
        terminal.pump(10, lambda: picture().count("▀") > 300)
        assert picture().count("▀") > 300
        terminal.send(END)
        terminal.wait_for("front scan_0023.jpg")
        terminal.resize(120, 40)
        lists(terminal, list(range(1, 13)))
        terminal.wait_gone("scan_0023")
        terminal.send(F3)
        terminal.wait_for("card 1 of 12")
        terminal.wait_for("front scan_0001.jpg")
