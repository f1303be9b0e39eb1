"""Previews on the screen: coarse colours first, nothing stale, the second loupe, the close look,
scans half written."""

from __future__ import annotations

import os
import re
import shutil
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path

import pytest
from support import drawn
from support.at_night import at_night
from support.opened import Lot
from support.terminal import Terminal

NEXT, BEFORE, NAMES, LOOK, LEAVE = "\x1b[6~", "\x1b[5~", "\x0e", "\x04", "\x18"
BLOCKS = "▀▄█"


@pytest.fixture
def lot(make_lot: Callable[..., Lot]) -> Lot:
    """Sixteen cards, and a set of 120."""
    return make_lot(16, drawn.set_rows("1987 Harbor Light", 120, seed=5), (410, 565))


@pytest.fixture
def unhurried(lot: Lot) -> Lot:
    """The same lot, opened by the program that waits longer before it sends finer colours."""
    return Lot(
        lot.folder,
        lot.checklist,
        [sys.executable, str(Path(__file__).parents[1] / "support" / "unhurried.py")],
    )


def body(terminal: Terminal) -> list[tuple[str, str, str]]:
    """Character and colours of all cells but the first line and the last four."""
    rows = range(1, terminal.screen.lines - 4)
    cells = [terminal.screen.buffer[y][x] for y in rows for x in range(terminal.screen.columns)]
    return [(cell.data, cell.fg, cell.bg) for cell in cells]


def pictures(terminal: Terminal) -> list[tuple[str, str, str]]:
    """The cells of the previews with a block in them; the panel has none of them."""
    columns = terminal.screen.columns
    return [
        cell
        for at, cell in enumerate(body(terminal))
        if cell[0] in BLOCKS and at % columns < columns // 3
    ]


def sent(terminal: Terminal, keys: list[str], pause: float = 0.0) -> int:
    """Bytes that come for keys sent one after the other."""
    terminal.settle(0.4)
    before = terminal.bytes_out
    for key in keys:
        os.write(terminal._fd, key.encode())
        time.sleep(pause)
    terminal.settle(0.4)
    return terminal.bytes_out - before


def true_colours(raw: bytes) -> int:
    """How often a colour of the three channels was sent for a picture; the words have few."""
    return len(re.findall(rb"48;2;\d+;\d+;\d+", raw))


def finer_came(terminal: Terminal, since: int) -> bool:
    """Whether true colours of pictures come, or have come, after so many bytes."""
    return terminal.pump(10, lambda: true_colours(bytes(terminal.raw[since:])) > 500)


def test_256_colours_come_first_and_true_ones_when_the_keys_are_quiet(unhurried: Lot) -> None:
    with unhurried.open(COLORTERM="truecolor") as terminal:
        assert finer_came(terminal, 0)
        terminal.settle(0.6)
        before = terminal.bytes_out
        terminal.send(NEXT)
        terminal.wait_for("card 2 of 16")
        terminal.settle(0.2)
        first = bytes(terminal.raw[before:])
        assert first.count(b"8;5;") > 200
        # those of the words, a line of which may be drawn twice; those of the pictures are 500
        assert true_colours(first) < 300
        assert finer_came(terminal, before + len(first))
        terminal.settle(0.6)
        colours = {bg for _, _, bg in body(terminal)} | {fg for _, fg, _ in body(terminal)}
        assert len(colours) > 20


def test_while_keys_come_nothing_finer_is_sent(unhurried: Lot) -> None:
    with unhurried.open(COLORTERM="truecolor") as terminal:
        assert finer_came(terminal, 0)
        terminal.settle(0.6)
        before = terminal.bytes_out
        terminal.send(NEXT)
        for letter in "mar mar":
            terminal.pump(0.5)
            terminal.send(letter)
        terminal.pump(0.5)
        assert true_colours(bytes(terminal.raw[before:])) < 400  # those of the words, eight times
        assert finer_came(terminal, terminal.bytes_out)


def test_finer_colours_come_by_themselves(lot: Lot) -> None:
    """In the program as it is started by its user."""
    with lot.open(COLORTERM="truecolor") as terminal:
        assert finer_came(terminal, 0)
        terminal.settle(0.6)
        before = terminal.bytes_out
        terminal.send(NEXT)
        terminal.wait_for("card 2 of 16")
        assert finer_came(terminal, before)


def looked_through(terminal: Terminal) -> None:
    """The audit is done, and the cards around the first one are drawn as they are after it."""
    terminal.pump(20, lambda: "F12" in terminal.text().splitlines()[0])
    terminal.send(NEXT)
    terminal.wait_for("card 2 of")
    terminal.settle()
    terminal.send(BEFORE)
    terminal.wait_for("card 1 of")
    terminal.settle(0.6)


@pytest.mark.nightly
def test_where_there_is_nothing_finer_nothing_more_is_sent(lot: Lot) -> None:
    with lot.open() as terminal:
        looked_through(terminal)
        terminal.send(NEXT)
        terminal.wait_for("card 2 of 16")
        terminal.pump(0.15)
        before = terminal.bytes_out
        terminal.pump(1.0)
        assert terminal.bytes_out == before


@pytest.mark.parametrize(
    ("key", "pieces"), [("\r", (2, 3)), at_night("\r", (5,)), at_night(NEXT, (4, 1))]
)
def test_steps_that_are_typed_over_paint_the_last_card_only(
    lot: Lot, key: str, pieces: tuple[int, ...]
) -> None:
    """Also where what was typed at once is read in two pieces."""
    with lot.open() as terminal:
        terminal.send("set=1987 1\r")
        terminal.wait_for("card 2 of 16")
        one = max(sent(terminal, [key]) for _ in range(3))
        many = sent(terminal, [key * count for count in pieces])
        terminal.wait_for("card 10 of 16")
        assert many < one * 1.9


def test_a_line_that_is_behind_gets_the_last_card_and_none_between(
    lot: Lot, own_folders: Path
) -> None:
    """Nothing is read while eight steps are taken slowly; what waits is a few cards at most, the
    last one whole."""
    # Seen as it lies: once it is measured it would be straight the next time.
    with (own_folders / "config" / "tagger" / "config.toml").open("a") as config:
        config.write("[preview]\ncrop = false\n")
    with lot.open() as terminal:
        terminal.send("set=1987 1\r")
        terminal.wait_for("card 2 of 16")
        one = max(sent(terminal, [NEXT]) for _ in range(3))
        many = sent(terminal, [NEXT] * 8, pause=0.15)
        terminal.wait_for("card 13 of 16")
        assert many < one * 3.5
        terminal.settle(1.0)
        behind = body(terminal)
        terminal.send(BEFORE)
        terminal.wait_for("card 12 of 16")
        terminal.send(NEXT)
        terminal.wait_for("card 13 of 16")
        # finer colours come when all is quiet
        assert terminal.pump(60, lambda: body(terminal) == behind)


def test_a_scan_that_is_still_being_written_comes_when_it_is_whole(lot: Lot) -> None:
    path = lot.folder / "scan_0001.jpg"
    whole = path.read_bytes()
    path.write_bytes(b"")
    with lot.open() as terminal:
        terminal.wait_for("is an empty file")
        path.write_bytes(whole[: len(whole) // 2])
        terminal.wait_for("ends too early")
        terminal.pump(20, lambda: "F12" in terminal.text().splitlines()[0])  # the audit is done
        terminal.settle(0.5)
        before = terminal.bytes_out
        terminal.pump(2.0)
        assert terminal.bytes_out == before
        path.write_bytes(whole)
        terminal.wait_gone("ends too early")
        terminal.settle()
        assert (
            sum(line[:40].count(block) for line in terminal.screen.display for block in BLOCKS) > 50
        )
        terminal.send("set=1987 1\r")
        terminal.wait_for("card 2 of 16")


def test_a_scan_that_comes_late_takes_its_place(lot: Lot) -> None:
    path = lot.folder / "scan_0002.jpg"
    shutil.copy(path, lot.folder.parent / "away.jpg")
    with lot.open() as terminal:
        terminal.send(LEAVE)
        terminal.wait_exit()
    path.unlink()
    with lot.open() as terminal:
        terminal.wait_for("scan_0002.jpg is missing")
        shutil.move(lot.folder.parent / "away.jpg", path)
        terminal.wait_gone(r"scan_0002.jpg is missing")


@pytest.mark.parametrize(("columns", "rows"), [(80, 24), at_night(120, 40), at_night(200, 60)])
def test_the_second_loupe_comes_and_goes_by_its_key(lot: Lot, columns: int, rows: int) -> None:
    with lot.open(columns, rows) as terminal:
        terminal.settle()
        before = pictures(terminal)
        assert "name front" not in terminal.text()
        terminal.send("23" + NAMES)
        if rows > 24:
            terminal.wait_for(r"name front, scan_0001\.jpg")
        terminal.settle()
        assert "loupe back, scan_0002.jpg" in terminal.text()
        assert "▸ 23" in terminal.text()
        terminal.send("\x0b" + NAMES)
        terminal.wait_gone("name front")
        terminal.settle()
        assert pictures(terminal) == before


def test_the_loupe_s_keys_move_the_second_one_while_it_is_there(lot: Lot) -> None:
    def part(terminal: Terminal, title: str) -> list[tuple[str, str, str]]:
        terminal.settle()
        top = next(
            y for y, line in enumerate(terminal.screen.display) if line.startswith(f" {title} ")
        )
        # type: ignore[misc]
        return [
            tuple(terminal.screen.buffer[y][x][:3])
            for y in range(top + 1, top + 6)
            for x in range(70)
        ]

    with lot.open() as terminal:
        terminal.send(NAMES)
        terminal.wait_for("name front")
        number, name = part(terminal, "loupe"), part(terminal, "name")
        terminal.send("\x1b[1;5A" * 16 + "\x1b[1;2A")
        assert part(terminal, "name") != name
        assert part(terminal, "loupe") == number
        terminal.send("\x06")
        terminal.wait_for("name back")
        terminal.send(LEAVE)
        terminal.wait_exit()
    data = Path(os.environ["XDG_DATA_HOME"]) / "tagger"
    assert "back" in (data / "name_loupes.json").read_text()
    assert not (data / "loupes.json").exists()


@pytest.mark.parametrize(("columns", "rows"), [(80, 24), at_night(120, 40)])
def test_the_close_look_fills_the_screen_moves_and_closes(
    lot: Lot, columns: int, rows: int
) -> None:
    with lot.open(columns, rows) as terminal:
        looked_through(terminal)
        before = pictures(terminal)
        terminal.send("23" + LOOK)
        terminal.wait_for(r"zoom back, scan_0002\.jpg")
        terminal.settle()
        assert "▸ 23" in terminal.text()
        seen = body(terminal)
        assert sum(cell[0] in BLOCKS or cell[1] != cell[2] for cell in seen) > len(seen) * 0.5
        for key in ("\x1b[A", "\x1b[1;2A", "\x1b[C", "\x1b[1;5B"):
            terminal.send(key)
            terminal.settle()
            assert body(terminal) != seen
            seen = body(terminal)
        terminal.send("\x06")
        terminal.wait_for(r"zoom front, scan_0001\.jpg")
        terminal.send(NEXT)
        terminal.wait_for(r"zoom front, scan_0003\.jpg")
        terminal.send(BEFORE)
        terminal.wait_for(r"zoom front, scan_0001\.jpg")
        terminal.send("23\r")
        terminal.wait_for("card 2 of 16")
        terminal.send(BEFORE + LOOK)
        terminal.wait_for("zoom back, scan_0002")
        terminal.wait_for("Enter close · ")
        terminal.send("\x1b[18~")
        terminal.wait_for("zoom front, scan_0001")
        terminal.send("\r")
        terminal.wait_for("front scan_0001.jpg")
        assert "card 1 of 16" in terminal.text()
        terminal.send("\x14")
        terminal.settle()
        assert pictures(terminal) == before


def test_the_close_look_closes_for_any_other_key_and_that_key_does_its_work(lot: Lot) -> None:
    with lot.open() as terminal:
        terminal.send(LOOK)
        terminal.wait_for("zoom back, scan")
        terminal.send("set=1987 23\r")
        terminal.wait_for("card 2 of 16")
        terminal.wait_gone("zoom back, scan")
    assert lot.cards()[0]["number"] == "23"


def wait_until_as(terminal: Terminal, shown: Sequence[tuple[str, str, str]]) -> None:
    """Wait until the screen shows this below its first line: a finer picture may come late."""
    assert terminal.pump(60, until=lambda: body(terminal) == shown)


def test_small_copies_are_kept_used_and_may_be_deleted_while_working(lot: Lot) -> None:
    cache = Path(os.environ["XDG_CACHE_HOME"]) / "tagger"
    with lot.open() as terminal:
        terminal.settle()
        first = body(terminal)
        terminal.send(LEAVE)
        terminal.wait_exit()
    copies = [path for path in cache.rglob("*") if path.is_file()]
    assert len(copies) >= 3
    with lot.open() as terminal:
        wait_until_as(terminal, first)
        shutil.rmtree(cache)
        terminal.send(NEXT * 6)
        terminal.wait_for("card 7 of 16")
        terminal.send(BEFORE * 6)
        terminal.wait_for("card 1 of 16")
        wait_until_as(terminal, first)
    for path in [path for path in cache.rglob("*") if path.is_file()]:
        path.write_bytes(path.read_bytes()[:20])
    with lot.open() as terminal:
        wait_until_as(terminal, first)


@pytest.mark.parametrize(
    ("drawing", "glyphs"), [("quadrants", "▘▝▖▗▚▞▛▜▙▟"), ("sextants", "\U0001fb0f\U0001fb1e🬋🬹🬂🬭")]
)
def test_another_drawing_is_used_once_it_was_found_right(
    lot: Lot, tagger: list[str], drawing: str, glyphs: str
) -> None:
    with Terminal([*tagger, "preview-test", "--use", drawing]) as terminal:
        terminal.wait_for(f"drawn with {drawing}")
    with lot.open() as terminal:
        terminal.settle()
        assert set(terminal.text()) & set(glyphs)


def test_sextants_by_setting_wait_for_their_sample(lot: Lot) -> None:
    config = Path(os.environ["XDG_CONFIG_HOME"]) / "tagger" / "config.toml"
    config.parent.mkdir(parents=True, exist_ok=True)
    config.write_text('[preview]\ndrawing = "sextants"\n', encoding="utf-8")
    with lot.open() as terminal:
        terminal.wait_for("run tagger preview-test")
        terminal.settle()
        assert not re.search("[\U0001fb00-\U0001fb3b]", terminal.text())


def test_colours_by_setting_go_before_what_the_terminal_says_but_not_before_no_color(
    lot: Lot,
) -> None:
    config = Path(os.environ["XDG_CONFIG_HOME"]) / "tagger" / "config.toml"
    config.parent.mkdir(parents=True, exist_ok=True)
    config.write_text('[preview]\ncolours = "16"\n', encoding="utf-8")
    with lot.open() as terminal:
        terminal.settle()
        assert {"red", "brightred", "brown"} & {
            cell[2] for cell in body(terminal)
        } or b"\x1b[10" in terminal.raw
    config.write_text('[preview]\ncolours = "true"\n', encoding="utf-8")
    with lot.open(NO_COLOR="1") as terminal:
        terminal.settle(0.6)
        colours = {bg for _, _, bg in body(terminal) if re.fullmatch("[0-9a-f]{6}", bg)}
        assert all(colour[:2] == colour[2:4] == colour[4:] for colour in colours)
