"""At the real terminal: what the history says of a card that was sold, what is left at the end of
the lot, and a finding that is put as a question."""

from __future__ import annotations

import random
from pathlib import Path

import pytest
from PIL import Image
from support import drawn
from support.at_night import at_night
from support.card_sets import card_set
from support.commands import told_by
from support.opened import Lot
from support.scanned import Scanner, fed, jpeg

F2, F4, F12, HISTORY, TAB = "\x1bOQ", "\x1bOS", "\x1b[24~", "\x1b[1;2D", "\t"
PGDN, REVIEW, LEAVE = "\x1b[6~", "\x16", "\x18"
CARDS, DPI = 12, 200


@pytest.mark.parametrize("size", [(80, 24), at_night((120, 40))], ids=["80x24", "120x40"])
def test_the_end_of_the_lot_says_what_is_left_and_the_history_what_was_sold(
    lot: Lot, size: tuple[int, int]
) -> None:
    with lot.open(*size) as terminal:
        terminal.send(f"1\r2\r{F2}900 nobody{F4}{F4}")
        terminal.send("".join(f"{number}\r" for number in range(5, 12)))
        terminal.wait_for("card 12 of 12")
        terminal.send(LEAVE)
        terminal.wait_exit()
    for words in (["2"], ["2", "--returned"], ["1", "--pulled"]):
        told_by("sold", lot.folder, *words)
    with lot.open(*size) as terminal:
        terminal.send(HISTORY)
        for said in ("card 1: pulled", "card 2: returned", "card 2: sold"):
            terminal.wait_for(said)
        assert "accepted again" not in terminal.text()
        terminal.send(HISTORY + PGDN)
        terminal.wait_for("End of the lot: 1 still untagged")
        for left in ("Tab +1 untagged", r"Ctrl\+V +1 set aside", r"Ctrl\+V +1 in no checklist"):
            terminal.wait_for(left)
        terminal.wait_for("tagger export")
        terminal.wait_for("--to")
        terminal.send(f"{TAB}12\r{REVIEW}3\r")
        terminal.wait_for("11 tagged|12 tagged")
        terminal.send("\r" + PGDN * 12)
        terminal.wait_for("End of the lot: every card is done.")
        terminal.send(LEAVE)
        terminal.wait_exit()
        said = terminal.raw.decode(errors="replace")
    assert "Next: tagger export" in said
    assert "--to cards.csv" in said


@pytest.fixture
def half_turned(tmp_path: Path, tagger: list[str]) -> Lot:
    """Twelve cards of one set, the backs of 7 to 11 the other way up than the rest."""
    rng, folder = random.Random("half"), tmp_path / "box 12"
    scanner = Scanner("black", 16, (0, 0, 1), (1, -1), 2, 3, 1.2, 0.5, 0)
    folder.mkdir()
    for at, art in enumerate(card_set("feeder", CARDS, "held")):
        for side, picture in enumerate((art.front, art.back), start=1):
            small = picture.resize((500, 700))
            scan = fed(small, rng, dpi=DPI, scanner=scanner, skew=1.0).picture
            if side == 2 and at in range(6, 11):
                scan = scan.transpose(Image.Transpose.ROTATE_180)
            (folder / f"scan_{2 * at + side:04d}.jpg").write_bytes(jpeg(scan, DPI, 80))
    rows = drawn.set_rows("1987 Harbor Light", 20, seed=5)
    (tmp_path / "list.csv").write_text(drawn.checklist_csv(rows), encoding="utf-8")
    return Lot(folder, tmp_path / "list.csv", tagger)


def test_what_may_be_upside_down_is_a_question(half_turned: Lot) -> None:
    audit = told_by("audit", half_turned.folder, status=None)
    assert "card 7, upside down? Are the backs of cards 7 to 11 upside down? About" in audit
    with half_turned.open() as terminal:
        terminal.wait_for("F12", 60)
        terminal.send(F12)
        terminal.wait_for(r"problem 1 of 1 · card 7 · upside\b")
        for said in (r"Are the backs of cards 7", r"down\? About", "Not certain: check"):
            terminal.wait_for(said)
        terminal.send(LEAVE)
        terminal.wait_exit()
