"""Keys that arrive in one packet act in order, each on the right card."""

from __future__ import annotations

from collections.abc import Callable

from support import drawn
from support.opened import Lot

ROWS = drawn.set_rows("1987 Harbor Light", 120, seed=5)


def numbers(lot: Lot) -> list[str]:
    return [card["number"] for card in lot.cards()]


def test_fifty_cards_in_one_burst_are_all_right(make_lot: Callable[..., Lot]) -> None:
    tray = drawn.presorted(ROWS, 50, seed=3)
    lot = make_lot(50, ROWS, (60, 84))
    with lot.open() as terminal:
        terminal.send("".join(f"{card.number}\r" for card in tray))
        terminal.wait_for("end of the lot")
        terminal.send("\x18")
        assert terminal.wait_exit() == 0
    cards = lot.cards()
    assert [(c["number"], c["subject"]) for c in cards] == [(t.number, t.subject) for t in tray]
    assert {c["state"] for c in cards} == {"tagged"}


def test_keys_typed_before_the_first_screen_count(make_lot: Callable[..., Lot]) -> None:
    lot = make_lot(6, ROWS, (60, 84))
    with lot.start() as terminal:
        terminal.send("7\r8\r9\r")
        terminal.wait_for(r"card 4 of 6 .* 3 tagged")
    assert numbers(lot) == ["7", "8", "9", "", "", ""]


def test_a_presorted_lot_of_400_cards_by_number_alone(make_lot: Callable[..., Lot]) -> None:
    rows = drawn.set_rows("1987 Harbor Light", 300, seed=11)
    tray = drawn.presorted(rows, 400, seed=12)
    lot = make_lot(400, rows, (60, 84))
    with lot.open() as terminal:
        for start in range(0, 400, 25):
            terminal.send("".join(f"{card.number}\r" for card in tray[start : start + 25]))
            terminal.wait_for(rf"card {start + 26} of 400|end of the lot", 60)
    cards = lot.cards()
    assert [(c["set"], c["number"], c["subject"]) for c in cards] == [
        (t.set, t.number, t.subject) for t in tray
    ]


def test_editing_keys_keep_their_turn_in_a_burst(lot: Lot) -> None:
    with lot.open() as terminal:
        terminal.send(
            "29\x7f3\r\x1b[D99\x1b[D\x1b[D1\x7f\x1b[3~\x1b[3~24\r"
            "xx\x0b25\r2\x1b[D1\x1b[F6\x17\x17 27\r"
        )
        terminal.wait_for("card 5 of 12")
    assert numbers(lot)[:5] == ["23", "24", "25", "27", ""]


def test_commands_keep_their_turn_in_a_burst(lot: Lot) -> None:
    """Set aside, same again, back, keep, undo and redo, all in one packet with the numbers between
    them."""
    with lot.open() as terminal:
        terminal.send(
            "5\rcreased\x1b12~7\r".replace("\x1b12~", "\x1bOQ")
            + "="
            + "\x1b[5~\r"
            + "9\r"
            + "\x1a\x1a\x19"
            + "10\r"
        )
        terminal.wait_for(r"card 6 of 12")
        terminal.settle()
    cards = lot.cards()
    assert [card["number"] for card in cards][:6] == ["5", "", "7", "7", "10", ""]
    assert cards[1]["state"] == "set aside"
    assert cards[1]["note"] == "creased"


def test_a_hint_that_fits_nothing_stops_the_burst_without_a_wrong_tag(lot: Lot) -> None:
    with lot.open() as terminal:
        terminal.send("23\r999\r24\r")
        terminal.wait_for("card 2 of 12")
        terminal.settle()
        assert "No checklist card matches" in terminal.text()
    assert numbers(lot)[:3] == ["23", "", ""]


def test_keys_beyond_the_last_card_tag_nothing(make_lot: Callable[..., Lot]) -> None:
    lot = make_lot(3, ROWS, (60, 84))
    with lot.open() as terminal:
        terminal.send("1\r2\r3\r4\r5\r")
        terminal.wait_for("end of the lot")
        terminal.settle()
    assert numbers(lot) == ["1", "2", "3"]


def test_a_paste_never_tags(lot: Lot) -> None:
    """Bracketed paste (xterm's control sequences, mode 2004): its first line goes into the hint, no
    line end acts."""
    with lot.open() as terminal:
        terminal.send("\x1b[200~23\r24\r25\r\x1b[201~")
        terminal.wait_for("Only the first line")
        assert "card 1 of 12" in terminal.text()
        terminal.send("\r")
        terminal.wait_for("card 2 of 12")
    assert numbers(lot)[:2] == ["23", ""]


# An event type where a number belongs, a code beyond Unicode, half a surrogate pair (kitty's
# keyboard protocol); sizes that no terminal has (mode 2048), a mouse report after one of them.
BAD_SEQUENCES = (
    "\x1b[97;1:3u",
    "\x1b[1;1:3A",
    "\x1b[1114112u",
    "\x1b[55296u",
    "\x1b[48;0;0;0;0t\x1b[<0;5;5M",
    "\x1b[48;99999999;99999999;9;9t",
)


def test_sequences_that_cannot_be_read_and_escapes_in_a_paste_are_passed_over(lot: Lot) -> None:
    with lot.open() as terminal:
        for bad in BAD_SEQUENCES:
            terminal.send(f"2{bad}3")
            terminal.settle()
            terminal.send("\x0b")
        terminal.send("7" + "".join(BAD_SEQUENCES) + "\r")
        terminal.wait_for("card 2 of 12")
        terminal.send("\x1b[200~2\x1b\r\x1bOQ3\x1b[A\x1b\x03\x1b[201~")
        terminal.wait_for("Only the first line")
        assert "card 2 of 12" in terminal.text()
        terminal.send("\x0b" + " ".join(["aa"] * 150))
        terminal.wait_for("aa aa")
        terminal.send("\x0b" + "8\r")
        terminal.wait_for("card 3 of 12")
        # "I tell my size myself" (DECRPM of mode 2048), which it then does not: the system does
        terminal.send("\x1b[?2048;1$y\x1b[48;5;20;100;400t")
        terminal.settle()
        terminal.resize(130, 45)
        # the hint line's keys are the last row of a screen of that size
        bottom = lambda: "F9 help" in terminal.screen.display[44]  # noqa: E731
        assert terminal.pump(15, bottom), terminal.text()
    assert numbers(lot)[:3] == ["7", "8", ""]


def test_bytes_that_are_no_utf8_are_passed_over(lot: Lot) -> None:
    with lot.open() as terminal:
        terminal.send(b"2\xff\xfe3\xc3\r")
        terminal.wait_for("card 2 of 12")
    assert numbers(lot)[0] == "23"
