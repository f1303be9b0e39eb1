"""Pictures as terminal cells: a terminal that reads them shows the colours that were meant, cell by cell."""

from __future__ import annotations

import re
import threading
import unicodedata

import pyte
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image
from pyte.graphics import BG_AIXTERM, BG_ANSI, FG_AIXTERM, FG_ANSI

from tagger.errors import PictureError
from tagger.preview.colours import XTERM, Depth, palette
from tagger.preview.halfblock import CellRow, draw
from tagger.preview.pictures import Pictures

Pixel = tuple[int, int, int]


def picture(rows: list[list[Pixel]]) -> Image.Image:
    out = Image.new("RGB", (len(rows[0]), len(rows)))
    out.putdata([pixel for row in rows for pixel in row])
    return out


def name(depth: Depth, colour: int, ground: bool) -> str:
    """What pyte calls a colour that was set as ink or as ground."""
    if depth is Depth.C16:
        plain, bright = (BG_ANSI, BG_AIXTERM) if ground else (FG_ANSI, FG_AIXTERM)
        base = 40 if ground else 30
        return plain[base + colour] if colour < 8 else bright[base + 60 + colour - 8]
    return "{:02x}{:02x}{:02x}".format(*palette(depth).rgb(colour))


def shown(rows: list[CellRow]) -> pyte.Screen:
    screen = pyte.Screen(rows[0].width + 1, len(rows) + 1)
    pyte.Stream(screen).feed("".join(f"{row.ansi()}\r\n" for row in rows))
    return screen


def wrong_cells(rows: list[CellRow]) -> list[tuple[int, int, pyte.screens.Char]]:
    """Cells in which the terminal shows anything but the two colours that were meant."""
    screen = shown(rows)
    wrong = []
    for y, row in enumerate(rows):
        for x, (top, bottom) in enumerate(zip(row.top, row.bottom, strict=True)):
            cell = screen.buffer[y][x]
            upper_is_ink, lower_is_ink = {"▀": (1, 0), "▄": (0, 1), "█": (1, 1), " ": (0, 0)}[cell.data]
            for colour, ink in ((top, upper_is_ink), (bottom, lower_is_ink)):
                if (cell.fg if ink else cell.bg) != name(row.depth, colour, not ink):
                    wrong.append((x, y, cell))
    return wrong


some_pixels = st.sampled_from([(0, 0, 0), (255, 255, 255), (200, 16, 16), (200, 16, 24), (0, 95, 135), (118, 118, 118)])
any_pixels = st.tuples(*[st.integers(0, 255)] * 3)
pictures = (
    st.integers(1, 9)
    .flatmap(
        lambda width: st.lists(
            st.lists(st.one_of(some_pixels, any_pixels), min_size=width, max_size=width), min_size=1, max_size=7
        )
    )
    .map(picture)
)


@settings(max_examples=200)
@given(pictures, st.sampled_from(Depth))
def test_each_cell_has_the_colours_that_were_meant(some, depth):
    rows = draw(some, depth)
    assert len(rows) == (some.height + 1) // 2
    assert all(row.width == some.width for row in rows)
    assert wrong_cells(rows) == []


@pytest.mark.parametrize("depth", Depth)
def test_a_drawn_card_has_the_colours_that_were_meant(depth):
    card = Image.linear_gradient("L").resize((40, 57)).convert("RGB")
    card.paste((190, 40, 60), (5, 5, 20, 30))
    card.paste((20, 90, 200), (12, 21, 33, 50))
    assert wrong_cells(draw(card, depth)) == []


@given(pictures, st.sampled_from(Depth))
def test_a_row_is_blocks_and_colours_only_and_ends_plain(some, depth):
    """SGR by ECMA-48, 8.3.117; the last one is SGR 0, so that what follows is drawn plainly."""
    for row in draw(some, depth):
        parts = re.split(r"\x1b\[([0-9;]+)m", row.ansi())
        assert set("".join(parts[::2])) <= set("▀▄█ ")
        assert len("".join(parts[::2])) == some.width
        assert parts[-2:] == ["0", ""]
    screen = shown(draw(some, depth))
    after = screen.buffer[0][some.width]
    assert (after.fg, after.bg) == ("default", "default")


def test_the_blocks_are_those_of_the_unicode_chart():
    """Unicode, Block Elements, U+2580 to U+259F."""
    two = draw(picture([[(255, 0, 0)] * 2, [(0, 0, 255), (0, 255, 0)]]), Depth.TRUE)[0]
    assert two.ansi().count("\u2580") == 2
    swapped = draw(picture([[(255, 0, 0), (0, 0, 255)], [(0, 0, 255), (255, 0, 0)]]), Depth.TRUE)[0]
    assert "\u2584" in swapped.ansi()
    assert unicodedata.name("\u2580") == "UPPER HALF BLOCK"
    assert unicodedata.name("\u2584") == "LOWER HALF BLOCK"


def test_an_odd_last_row_of_pixels_fills_its_cells():
    rows = draw(picture([[(8, 8, 8)], [(16, 16, 16)], [(24, 24, 24)]]), Depth.TRUE)
    assert [next(row.cells())[1:] for row in rows] == [((8, 8, 8), (16, 16, 16)), ((24, 24, 24), (24, 24, 24))]


def test_what_does_not_change_is_not_sent_again():
    row = draw(picture([[(200, 0, 0)] * 40, [(0, 0, 200)] * 40]), Depth.C256)[0]
    assert row.ansi().count("\x1b") == 2
    plain = draw(picture([[(200, 0, 0)] * 40] * 2), Depth.C256)[0]
    assert plain.ansi().count("\x1b") == 2


def test_the_256_colours_are_those_of_xterm():
    """The cube and the greys by the formula of xterm's 256colres.pl: 55 + 40 a step (0 for none), and 8 + 10 a step."""
    for red in range(6):
        for green in range(6):
            for blue in range(6):
                expected = tuple(55 + 40 * step if step else 0 for step in (red, green, blue))
                assert XTERM[16 + 36 * red + 6 * green + blue] == expected
    assert [XTERM[232 + step] for step in range(24)] == [(8 + 10 * step,) * 3 for step in range(24)]
    assert len(XTERM) == 256


def test_a_colour_of_the_palette_stands_for_itself_or_its_twin():
    """Some greys of the row and of the cube are three levels apart; the quantizer takes either."""
    colours = palette(Depth.C256)
    for index in range(16, 256):
        found = colours.indexes(Image.new("RGB", (1, 1), XTERM[index]))[0]
        assert found >= 16
        assert all(abs(a - b) <= 3 for a, b in zip(XTERM[found], XTERM[index], strict=True))


def test_sixteen_colours_keep_black_white_and_the_strong_colours():
    strong = [(0, 0, 0), (255, 255, 255), (230, 10, 10), (10, 220, 10), (10, 10, 230), (230, 220, 10)]
    found = palette(Depth.C16).indexes(picture([strong]))
    dark_or_bright = [(0,), (15,), (1, 9), (2, 10), (4, 12), (3, 11)]
    assert all(index in either for index, either in zip(found, dark_or_bright, strict=True)), list(found)


@given(any_pixels)
def test_true_colours_are_off_by_no_more_than_eye_can_see(pixel):
    shown_as = palette(Depth.TRUE).rgb(palette(Depth.TRUE).indexes(Image.new("RGB", (1, 1), pixel))[0])
    assert all(0 <= want - have < 8 for want, have in zip(pixel, shown_as, strict=True))


@given(st.integers(0, 255))
def test_grey_is_the_nearest_that_a_terminal_has(level):
    index = palette(Depth.GREY).indexes(Image.new("RGB", (1, 1), (level,) * 3))[0]
    red, green, blue = XTERM[index]
    assert red == green == blue
    assert abs(red - level) == min(abs(grey - level) for grey in (0, 255, *range(8, 239, 10)))


@given(any_pixels)
def test_a_colour_among_256_is_near_what_it_stands_for(pixel):
    red, green, blue = XTERM[palette(Depth.C256).indexes(Image.new("RGB", (1, 1), pixel))[0]]
    nearest = min(sum((a - b) ** 2 for a, b in zip(pixel, other, strict=True)) for other in XTERM[16:])
    found = sum((a - b) ** 2 for a, b in zip(pixel, (red, green, blue), strict=True))
    assert found <= nearest * 1.5 + 300


class Shelf:
    """Pictures at hand, with a loader that a test can hold back, and a way to wait for them."""

    def __init__(self, limit: int = 64) -> None:
        self.loaded: list[str] = []
        self.gate = threading.Event()
        self.gate.set()
        self._come = threading.Semaphore(0)
        self.pictures = Pictures(self._load, lambda _: self._come.release(), limit=limit, threads=1)

    def _load(self, scan: str, box: tuple[int, int]) -> Image.Image:
        self.gate.wait(30)
        self.loaded.append(scan)
        if scan == "bad.jpg":
            raise PictureError("bad.jpg is no picture.")
        return Image.new("RGB", box)

    def wait(self, count: int) -> None:
        for _ in range(count):
            assert self._come.acquire(timeout=30)


@pytest.fixture
def shelf():
    found = Shelf()
    yield found
    found.gate.set()
    found.pictures.close()


def test_wanted_pictures_come_in_the_order_wanted_and_once(shelf):
    assert shelf.pictures.get("a.jpg", (4, 6)) is None
    shelf.pictures.want([("a.jpg", (4, 6)), ("b.jpg", (4, 6))])
    shelf.wait(2)
    shelf.pictures.want([("b.jpg", (4, 6)), ("a.jpg", (4, 6))])
    assert shelf.loaded == ["a.jpg", "b.jpg"]
    assert shelf.pictures.get("a.jpg", (4, 6)).size == (4, 6)
    assert shelf.pictures.get("a.jpg", (8, 12)) is None


def test_a_picture_that_cannot_be_shown_says_why(shelf):
    shelf.pictures.want([("bad.jpg", (4, 6)), ("a.jpg", (4, 6))])
    shelf.wait(2)
    assert str(shelf.pictures.get("bad.jpg", (4, 6))) == "bad.jpg is no picture."
    assert shelf.pictures.get("a.jpg", (4, 6)).size == (4, 6)


def test_the_newest_wish_drops_the_older_ones(shelf):
    shelf.gate.clear()
    shelf.pictures.want([(f"{number}.jpg", (4, 6)) for number in range(9)])
    shelf.pictures.want([("late.jpg", (4, 6))])
    shelf.gate.set()
    while "late.jpg" not in shelf.loaded:
        shelf.wait(1)
    assert len(shelf.loaded) <= 2


def test_no_more_pictures_are_held_than_the_limit():
    shelf = Shelf(limit=3)
    names = [f"{number}.jpg" for number in range(5)]
    shelf.pictures.want([(name, (4, 6)) for name in names])
    shelf.wait(5)
    assert [shelf.pictures.get(name, (4, 6)) is not None for name in names] == [False, False, True, True, True]
    shelf.pictures.close()


def test_a_forgotten_picture_is_read_again(shelf):
    shelf.pictures.want([("a.jpg", (4, 6))])
    shelf.wait(1)
    shelf.pictures.forget("a.jpg")
    shelf.pictures.want([("a.jpg", (4, 6))])
    shelf.wait(1)
    assert shelf.loaded == ["a.jpg", "a.jpg"]
