"""The loupe on the screen: always there, moved by its own keys only, and found again where it was
left."""

from __future__ import annotations

import io
import json
import os
import re
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest
from PIL import Image, ImageDraw
from support import drawn
from support.at_night import at_night
from support.opened import Lot
from support.terminal import Terminal

LEFT, UP, SIDE, CLOSER = "\x1b[1;5D", "\x1b[1;5A", "\x06", "\x1b[1;2A"
UNDO, LEAVE = "\x1a", "\x18"
Cells = dict[tuple[int, int], tuple[str, str, str]]


@pytest.fixture
def lot(make_lot: Callable[..., Lot]) -> Lot:
    """Twelve cards with small print on their backs, and two sets."""
    lot = make_lot(
        12,
        drawn.set_rows("1987 Harbor Light", 60, seed=5)
        + drawn.set_rows("1992 Squall Line", 60, seed=6),
    )
    for number in range(2, 26, 2):
        (lot.folder / f"scan_{number:04}.jpg").write_bytes(small_print(number))
    return lot


@cache
def small_print(number: int) -> bytes:
    """A back full of small numbers."""
    page = Image.new("RGB", (410, 565), (24, 25, 27))
    draw = ImageDraw.Draw(page)
    draw.rectangle((12, 12, 397, 552), fill=(230, 220, 200))
    for y in range(20, 540, 15):
        for x in range(20, 380, 30):
            text = f"{(x * 7 + y * 13 + number * 31) % 1000}"
            draw.text((x, y), text, fill=(50, 30, 20), font_size=11)
    data = io.BytesIO()
    page.save(data, "JPEG", quality=90)
    return data.getvalue()


def cells(terminal: Terminal) -> tuple[Cells, Cells]:
    """The cells of the loupe, below its title, and all others."""
    terminal.settle()
    lines = terminal.screen.display
    top = next(y for y, line in enumerate(lines) if " loupe " in line)
    left = lines[top].index(" loupe ")
    bottom = len(lines) - 4
    right = 82 if left == 0 else terminal.screen.columns
    within, around = {}, {}
    for y in range(len(lines)):
        for x in range(terminal.screen.columns):
            cell = terminal.screen.buffer[y][x]
            here = top < y < bottom and left <= x < right
            (within if here else around)[x, y] = (cell.data, cell.fg, cell.bg)
    return within, around


def beside_sides(around: Cells) -> Cells:
    """The cells that are not of a side's preview, on which the loupe's frame moves."""
    return {(x, y): cell for (x, y), cell in around.items() if x >= 82 or y < 1}


def steady(terminal: Terminal) -> Cells:
    """The cells of the loupe, twice in a row the same: on a busy machine they come late."""
    before, now = None, cells(terminal)[0]
    while now != before:
        before, now = now, cells(terminal)[0]
    return now


def loupes() -> dict[str, dict[str, object]]:
    """What is remembered, by set."""
    path = Path(os.environ["XDG_DATA_HOME"]) / "tagger" / "loupes.json"
    return {
        entry["set"]: entry
        for entry in json.loads(path.read_text(encoding="ascii"))["loupes"].values()
    }


@pytest.mark.parametrize(
    ("columns", "rows", "least"), [(80, 24, 6), at_night(120, 40, 7), at_night(200, 60, 20)]
)
def test_a_part_of_the_back_is_there_large_at_every_size(
    lot: Lot, columns: int, rows: int, least: int
) -> None:
    with lot.open(columns, rows) as terminal:
        terminal.wait_for(r"loupe back, scan_0002\.jpg")
        within, _ = cells(terminal)
        assert len({y for _, y in within}) >= least
        blocks = [colours for (char, *colours) in within.values() if char in "▀▄█"]
        assert len(blocks) > len(within) / 5
        greys = {
            colour
            for colours in blocks
            for colour in colours
            if re.fullmatch("[0-9a-f]{6}", colour)
        }
        assert all(colour[:2] == colour[2:4] == colour[4:] for colour in greys)
        assert len(greys) > 3


@pytest.mark.parametrize(("columns", "rows"), [at_night(80, 24), (120, 40)])
def test_its_keys_change_the_loupe_and_its_frame_and_nothing_else(
    lot: Lot, columns: int, rows: int
) -> None:
    with lot.open(columns, rows) as terminal:
        terminal.pump(20, lambda: "F12" in terminal.text().splitlines()[0])  # the audit is done
        terminal.send("23 g 120/99")
        terminal.wait_for("23 g 120/99")
        before, around = cells(terminal)
        for key in (LEFT, UP, CLOSER):
            terminal.send(key)
            after, still = cells(terminal)
            assert after != before
            assert beside_sides(still) == beside_sides(around)
            before = after
        terminal.send(SIDE)
        terminal.wait_for(r"loupe front, scan_0001\.jpg")
        assert "▸ 23 g 120/99" in terminal.text()


@pytest.mark.parametrize(
    ("serial", "said"), [(" 12/99", "Gold 12/99"), ("", "serial number not typed")]
)
def test_the_lines_of_what_enter_takes_are_complete_beside_it(
    lot: Lot, serial: str, said: str
) -> None:
    with lot.open(80, 24) as terminal:
        terminal.send(f"nm at=box 3, row 2\x1b[15~set=1987 23 g{serial}")
        terminal.wait_for(said)
        terminal.settle()
        text = terminal.text()
        name = drawn.set_rows("1987 Harbor Light", 60, seed=5)[22]
        assert re.search(
            rf"Enter accepts.*\n(.*\n)?(.*[▀▄█].*\n){{3}}.*#23 {name.subject.upper()}.*\n.*Gold",
            text,
        )
        for fact in (
            said,
            name.team,
            "condition Near Mint",
            "place box 3, row 2",
            "loupe back, scan_0002.jpg",
        ):
            assert fact in text


def test_its_place_is_remembered_for_the_set(lot: Lot) -> None:
    with lot.open() as terminal:
        first, _ = cells(terminal)
        terminal.send("set=1987 1\r")
        terminal.wait_for("loupe back, scan_0004")
        terminal.send(LEFT * 9 + UP * 6 + CLOSER)
        left = steady(terminal)
        terminal.send(LEAVE)
        assert terminal.wait_exit() == 0
    assert loupes()["1987 Harbor Light"]["x"] < 0.6  # type: ignore[operator]
    with lot.open() as terminal:
        terminal.wait_for("loupe back, scan_0004")
        assert terminal.pump(30.0, lambda: cells(terminal)[0] == left)
    assert left != first


def test_another_set_keeps_its_own_place(lot: Lot) -> None:
    with lot.open() as terminal:
        terminal.send("set=1987 1\r")
        terminal.wait_for("card 2 of 12")
        terminal.send(LEFT * 9)
        harbor = steady(terminal)
        terminal.send("set=1992 2\r")
        terminal.wait_for("set 1992 Squall Line")
        terminal.send(UP * 9)
        terminal.settle()
        terminal.send("\x1b[5~")
        terminal.wait_for("loupe back, scan_0004")
        assert steady(terminal) != harbor
        terminal.send(UNDO)
        terminal.wait_for("set 1987 Harbor Light")
        assert terminal.pump(30.0, lambda: cells(terminal)[0] == harbor)
        terminal.pump(3.0, lambda: "1992 Squall Line" in _known())
    kept = loupes()
    assert kept["1987 Harbor Light"]["x"] == kept["1992 Squall Line"]["x"]
    assert kept["1987 Harbor Light"]["y"] != kept["1992 Squall Line"]["y"]


def _known() -> set[str]:
    try:
        return set(loupes())
    except OSError:
        return set()


def test_a_faulty_or_missing_back_gives_the_reason_in_its_place(lot: Lot) -> None:
    whole = (lot.folder / "scan_0002.jpg").read_bytes()
    (lot.folder / "scan_0002.jpg").write_bytes(whole[: len(whole) // 2])
    (lot.folder / "scan_0024.jpg").unlink()
    with lot.open() as terminal:
        terminal.wait_for(
            r"(?s)loupe back, scan_0002\.jpg.*scan_0002\.jpg cannot be shown: the file ends too "
            r"early"
        )
        terminal.send("12\x07")
        terminal.wait_for("loupe back, no scan of this side")


def test_typing_sends_nothing_of_it(lot: Lot) -> None:
    with lot.open() as terminal:
        terminal.send("set=1987 1\r")
        terminal.wait_for("loupe back, scan_0004")
        cells(terminal)
        sent = []
        for key in "23 mar g":
            before = terminal.bytes_out
            terminal.send(key)
            terminal.pump(5, lambda before=before: terminal.bytes_out > before)  # type: ignore[misc]
            terminal.settle()
            sent.append((terminal.bytes_out - before, terminal.raw[before:]))
        # the place of the number may be found meanwhile, and the loupe moves there once
        sent.sort()
        most, drawn = sent[-2]
        assert most < 4096
        # the large figures
        assert len(re.findall("[▀▄█]", drawn.decode(errors="replace"))) < 60


def test_a_burst_of_cards_shows_the_last_only(lot: Lot) -> None:
    with lot.open() as terminal:
        cells(terminal)
        sent = []
        for keys, card in (("set=1987 1\r", 2), ("\r\r\r\r\r", 7)):
            before = terminal.bytes_out
            terminal.send(keys)
            terminal.wait_for(rf"card {card} of 12")
            terminal.wait_for(rf"loupe back, scan_{card * 2:04}")
            terminal.settle()
            sent.append(terminal.bytes_out - before)
        # all five would be more; two are drawn where the line splits the packet
        assert sent[1] < sent[0] * 3
    assert [card["number"] for card in lot.cards()][:6] == ["1", "2", "3", "4", "5", "6"]
