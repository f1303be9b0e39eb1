"""Pictures as terminal cells: a terminal that reads them shows the colours that were meant, cell by
cell."""

from __future__ import annotations

import math
import re
import threading
import unicodedata
from collections.abc import Iterator

import pyte
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageFilter, ImageStat
from pyte.graphics import BG_AIXTERM, BG_ANSI, FG_AIXTERM, FG_ANSI
from support.small_card import card

from tagger.errors import PictureError
from tagger.preview import quadrants, sextants
from tagger.preview.cells import CellRow
from tagger.preview.colours import COLOUR, XTERM, oklab, palette
from tagger.preview.drawings import DRAWINGS, Drawing
from tagger.preview.fitted_blocks import FittedBlocks
from tagger.preview.pictures import Drawn, Pictures, WholePicture, drawn
from tagger.preview.terminal_capabilities import Depth
from tagger.preview.two_means import fitted

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


def sub_cells(glyph: str) -> frozenset[tuple[int, int]]:
    """Which of 2 x 6 equal parts of a cell a glyph fills, by its name in the Unicode charts
    (column, row)."""
    name = unicodedata.name(glyph)
    everything = {(x, y) for x in range(2) for y in range(6)}
    if name == "SPACE":
        return frozenset()
    if name == "FULL BLOCK":
        return frozenset(everything)
    if name.startswith("BLOCK SEXTANT-"):  # from the upper left, in reading order
        sixths = {int(digit) - 1 for digit in name.removeprefix("BLOCK SEXTANT-")}
        return frozenset((x, y) for x, y in everything if (y // 2) * 2 + x in sixths)
    found = set()
    for part in (
        name.removeprefix("QUADRANT ").removesuffix(" BLOCK").removesuffix(" HALF").split(" AND ")
    ):
        words = part.split()
        assert set(words) <= {"UPPER", "LOWER", "LEFT", "RIGHT"}
        found |= {
            (x, y)
            for x, y in everything
            if ("UPPER" not in words or y < 3) and ("LOWER" not in words or y >= 3)
            if ("LEFT" not in words or x == 0) and ("RIGHT" not in words or x == 1)
        }  # fmt: skip
    return frozenset(found)


def wrong_cells(rows: list[CellRow]) -> list[tuple[int, int, pyte.screens.Char]]:
    """Cells in which the terminal shows anything but the colours that were meant, in any part of
    the cell."""
    screen = shown(rows)
    wrong = []
    for y, row in enumerate(rows):
        for x, (glyph, ink, ground) in enumerate(zip(row.glyphs, row.ink, row.ground, strict=True)):
            cell = screen.buffer[y][x]
            there, meant = sub_cells(cell.data), sub_cells(glyph)
            for place in sub_cells("█"):
                colour = ink if place in meant else ground
                if (cell.fg if place in there else cell.bg) != name(
                    row.depth, colour, place not in there
                ):
                    wrong.append((x, y, cell))
                    break
    return wrong


draw = DRAWINGS["half blocks"].draw
some_pixels = st.sampled_from(
    [(0, 0, 0), (255, 255, 255), (200, 16, 16), (200, 16, 24), (0, 95, 135), (118, 118, 118)]
)
any_pixels = st.tuples(*[st.integers(0, 255)] * 3)
pictures = (
    st.integers(1, 9)
    .flatmap(
        lambda width: st.lists(
            st.lists(st.one_of(some_pixels, any_pixels), min_size=width, max_size=width),
            min_size=1,
            max_size=7,
        )
    )
    .map(picture)
)


every_drawing = pytest.mark.parametrize("drawing", DRAWINGS.values(), ids=list(DRAWINGS))


@every_drawing
@settings(max_examples=150)
@given(pictures, st.sampled_from(Depth))
def test_each_cell_has_the_colours_that_were_meant(drawing, some, depth):
    rows = drawing.draw(some, depth)
    assert len(rows) == -(-some.height // drawing.down)
    assert all(row.width == -(-some.width // drawing.across) for row in rows)
    assert wrong_cells(rows) == []


@every_drawing
@pytest.mark.parametrize("depth", Depth)
def test_a_drawn_card_has_the_colours_that_were_meant(drawing, depth):
    assert wrong_cells(drawing.draw(card(), depth)) == []


@every_drawing
@given(pictures, st.sampled_from(Depth))
def test_a_row_is_blocks_and_colours_only_and_ends_plain(drawing, some, depth):
    """SGR by ECMA-48, 8.3.117; the last one is SGR 0, so that what follows is drawn plainly."""
    rows = drawing.draw(some, depth)
    for row in rows:
        parts = re.split(r"\x1b\[([0-9;]+)m", row.ansi())
        assert set("".join(parts[::2])) <= set(row.glyphs) | set(row.inverse) | {" ", "█"}
        assert len("".join(parts[::2])) == row.width
        assert parts[-2:] == ["0", ""]
    after = shown(rows).buffer[0][rows[0].width]
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
    assert [next(row.cells())[1:] for row in rows] == [
        ((8, 8, 8), (16, 16, 16)),
        ((24, 24, 24), (24, 24, 24)),
    ]


def test_sextants_are_the_row_of_the_unicode_chart_and_four_older_blocks():
    """Unicode 13, Symbols for Legacy Computing, U+1FB00 to U+1FB3B."""
    assert sorted(set(sextants.GLYPHS) - set(" ▌▐█")) == [
        chr(code) for code in range(0x1FB00, 0x1FB3C)
    ]
    for mask, glyph in enumerate(sextants.GLYPHS):
        filled = {(place % 2, place // 2) for place in range(6) if mask >> place & 1}
        assert sub_cells(glyph) == {
            (x, y) for x in range(2) for y in range(6) if (x, y // 2) in filled
        }


def test_quadrants_are_those_of_the_unicode_chart():
    """Unicode, Block Elements: the ten quadrants U+2596 to U+259F and six older blocks."""
    assert {chr(code) for code in range(0x2596, 0x25A0)} == set(quadrants.GLYPHS) - set(" ▀▄▌▐█")
    for mask, glyph in enumerate(quadrants.GLYPHS):
        filled = {(place % 2, place // 2) for place in range(4) if mask >> place & 1}
        assert sub_cells(glyph) == {
            (x, y) for x in range(2) for y in range(6) if (x, y // 3) in filled
        }


def pixels(rows: list[CellRow], across: int, down: int) -> list[list[Pixel]]:
    """Drawn cells as the pixels that they stand for."""
    out = []
    for row in rows:
        lines: list[list[Pixel]] = [[] for _ in range(down)]
        for glyph, ink, ground in row.cells():
            filled = sub_cells(glyph)
            for y in range(down):
                lines[y] += [
                    ink if (x * (2 // across), y * (6 // down)) in filled else ground
                    for x in range(across)
                ]
        out += lines
    return out


@every_drawing
@given(st.data())
def test_cells_of_two_colours_are_drawn_as_they_are(drawing, data):
    """With two colours that are well apart in each cell nothing has to be left out."""
    cells = data.draw(
        st.lists(st.tuples(st.integers(0, 63), st.booleans()), min_size=1, max_size=6)
    )
    ink, ground = ((248, 248, 240), (16, 80, 8)), ((8, 16, 120), (200, 0, 40))
    page = [
        [
            (ink if mask >> (y * drawing.across + x) & 1 else ground)[other]
            for mask, other in cells
            for x in range(drawing.across)
        ]
        for y in range(drawing.down)
    ]
    assert pixels(drawing.draw(picture(page), Depth.TRUE), drawing.across, drawing.down) == page


def squares(cell: list[Pixel], mask: int) -> float:
    """What is left of a cell's squares when it is drawn in two colours, parted like this."""
    total = 0.0
    for part in (True, False):
        pixels = [pixel for place, pixel in enumerate(cell) if bool(mask >> place & 1) == part]
        for channel in zip(*pixels, strict=True):
            middle = sum(channel) / len(channel)
            total += sum((level - middle) ** 2 for level in channel)
    return total


def cells_of(
    some: Image.Image, drawing: FittedBlocks, masks: list[list[int]]
) -> Iterator[tuple[list[Pixel], int]]:
    """The pixels of each cell, and which of them have its ink."""
    wide, high = drawing.across, drawing.down
    for y, line in enumerate(masks):
        for x, mask in enumerate(line):
            box = (x * wide, y * high, (x + 1) * wide, (y + 1) * high)
            yield list(some.crop(box).get_flattened_data()), mask


@pytest.mark.parametrize(
    "drawing", [DRAWINGS["quadrants"], DRAWINGS["sextants"]], ids=["quadrants", "sextants"]
)
def test_two_colours_fit_nearly_as_well_as_any_two_could(drawing):
    """Held against all ways to part a cell's pixels: what is left is a seventh more at most, as a
    root of squares."""
    ours = best = 0.0
    for seed in range(4):
        some = card(seed).resize((30 * drawing.across, 20 * drawing.down), Image.Resampling.BICUBIC)
        found = fitted(some, drawing.across, drawing.down)
        for cell, mask in cells_of(some, drawing, found.masks):
            ours += squares(cell, mask)
            best += min(squares(cell, other) for other in range(2 ** (len(cell) - 1)))
    assert best <= ours <= best * 1.3


def seen(rows: list[CellRow], drawing: Drawing) -> Image.Image:
    """Drawn cells as an eye sees them that cannot tell single pixels apart."""
    drawn = picture(pixels(rows, drawing.across, drawing.down))
    return drawn.filter(ImageFilter.BoxBlur(1.5)).crop((3, 3, drawn.width - 3, drawn.height - 3))


@every_drawing
def test_muted_colours_are_not_washed_out_among_256(drawing):
    """Colours between those of the palette, in fields: seen from afar each is the colour that was
    meant."""
    muted = [(112, 84, 62), (196, 168, 120), (60, 96, 72), (150, 110, 118), (88, 96, 128)]
    total = nearest_total = 0.0
    for colour in muted:
        rows = drawing.draw(Image.new("RGB", (24, 24), colour), Depth.C256)
        mean = ImageStat.Stat(seen(rows, drawing)).mean
        nearest = min(
            XTERM[16:],
            key=lambda other: sum((a - b) ** 2 for a, b in zip(colour, other, strict=True)),
        )
        total += sum(abs(a - b) for a, b in zip(colour, mean, strict=True))
        nearest_total += sum(abs(a - b) for a, b in zip(colour, nearest, strict=True))
        assert max(mean) - min(mean) >= (max(colour) - min(colour)) * 0.6
    assert total < nearest_total * 0.85


def test_what_does_not_change_is_not_sent_again():
    row = draw(picture([[(200, 0, 0)] * 40, [(0, 0, 200)] * 40]), Depth.C256)[0]
    assert row.ansi().count("\x1b") == 2
    plain = draw(picture([[(200, 0, 0)] * 40] * 2), Depth.C256)[0]
    assert plain.ansi().count("\x1b") == 2


def test_the_256_colours_are_those_of_xterm():
    """The cube and the greys by the formula of xterm's 256colres.pl: 55 + 40 a step (0 for none),
    and 8 + 10 a step."""
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
    strong = [
        (0, 0, 0),
        (255, 255, 255),
        (230, 10, 10),
        (10, 220, 10),
        (10, 10, 230),
        (230, 220, 10),
    ]
    found = palette(Depth.C16).indexes(picture([strong]))
    dark_or_bright = [(0,), (15,), (1, 9), (2, 10), (4, 12), (3, 11)]
    assert all(index in either for index, either in zip(found, dark_or_bright, strict=True)), list(
        found
    )


@given(any_pixels)
def test_true_colours_are_off_by_no_more_than_eye_can_see(pixel):
    shown_as = palette(Depth.TRUE).rgb(
        palette(Depth.TRUE).indexes(Image.new("RGB", (1, 1), pixel))[0]
    )
    assert all(0 <= want - have < 8 for want, have in zip(pixel, shown_as, strict=True))


@given(st.integers(0, 255))
def test_grey_is_the_nearest_that_a_terminal_has(level):
    index = palette(Depth.GREY).indexes(Image.new("RGB", (1, 1), (level,) * 3))[0]
    red, green, blue = XTERM[index]
    assert red == green == blue
    assert abs(red - level) == min(abs(grey - level) for grey in (0, 255, *range(8, 239, 10)))


def test_oklab_is_as_published():
    """B. Ottosson, "A perceptual color space for image processing", 2020; white, and the table of
    CSS Color 4, 10.x."""
    for colour, expected in (
        ((1, 1, 1), (1.0, 0.0, 0.0)),
        ((1, 0, 0), (0.62796, 0.22486, 0.12585)),
        ((0, 1, 0), (0.86644, -0.23389, 0.1795)),
        ((0, 0, 1), (0.45201, -0.03246, -0.31153)),
    ):
        assert oklab(*colour) == pytest.approx(expected, abs=1e-4)


def unlike(one: Pixel, other: Pixel) -> float:
    """How different two colours look, lightness counting less than colour."""
    a, b = (oklab(*(channel / 255 for channel in colour)) for colour in (one, other))
    return math.hypot(a[0] - b[0], (a[1] - b[1]) * COLOUR, (a[2] - b[2]) * COLOUR)


@given(any_pixels)
def test_a_colour_among_256_looks_like_what_it_stands_for(pixel):
    """Very dark colours all look alike, and a table has them only roughly."""
    found = XTERM[palette(Depth.C256).indexes(Image.new("RGB", (1, 1), pixel))[0]]
    assert unlike(pixel, found) <= min(unlike(pixel, other) for other in XTERM[16:]) * 1.2 + 0.06


BOX = WholePicture((4, 6))


class Shelf:
    """Pictures at hand, with a loader that a test can hold back, and a way to wait for them."""

    def __init__(self, limit: int = 64) -> None:
        self.loaded: list[str] = []
        self.gate = threading.Event()
        self.gate.set()
        self._come = threading.Semaphore(0)
        self.stamp = 1
        self.pictures = Pictures(
            self._draw, lambda _: self._come.release(), lambda _: self.stamp, limit=limit, threads=1
        )

    def _draw(self, scan: str, seen: WholePicture) -> Drawn:
        self.gate.wait(30)
        self.loaded.append(scan)
        if scan == "bad.jpg":
            raise PictureError("bad.jpg is no picture.")
        return drawn(Image.new("RGB", seen.box), DRAWINGS["half blocks"], Depth.C256)

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
    assert shelf.pictures.get("a.jpg", BOX) is None
    shelf.pictures.want([("a.jpg", BOX), ("b.jpg", BOX)])
    shelf.wait(2)
    shelf.pictures.want([("b.jpg", BOX), ("a.jpg", BOX)])
    assert shelf.loaded == ["a.jpg", "b.jpg"]
    assert shelf.pictures.get("a.jpg", BOX).picture.size == (4, 6)
    assert shelf.pictures.get("a.jpg", WholePicture((8, 12))) is None


def test_a_picture_that_cannot_be_shown_says_why(shelf):
    shelf.pictures.want([("bad.jpg", BOX), ("a.jpg", BOX)])
    shelf.wait(2)
    assert str(shelf.pictures.get("bad.jpg", BOX)) == "bad.jpg is no picture."
    assert shelf.pictures.get("a.jpg", BOX).picture.size == (4, 6)


def test_the_newest_wish_drops_the_older_ones(shelf):
    shelf.gate.clear()
    shelf.pictures.want([(f"{number}.jpg", BOX) for number in range(9)])
    shelf.pictures.want([("late.jpg", BOX)])
    shelf.gate.set()
    while "late.jpg" not in shelf.loaded:
        shelf.wait(1)
    assert len(shelf.loaded) <= 2


def test_no_more_pictures_are_held_than_the_limit():
    shelf = Shelf(limit=3)
    names = [f"{number}.jpg" for number in range(5)]
    shelf.pictures.want([(name, BOX) for name in names])
    shelf.wait(5)
    assert [shelf.pictures.get(name, BOX) is not None for name in names] == [
        False,
        False,
        True,
        True,
        True,
    ]
    shelf.pictures.close()


def test_a_picture_that_failed_is_tried_again_when_its_file_has_changed(shelf):
    shelf.pictures.want([("bad.jpg", BOX), ("a.jpg", BOX)])
    shelf.wait(2)
    assert not shelf.pictures.retry(["bad.jpg"])
    shelf.stamp = 2
    assert not shelf.pictures.retry(["a.jpg"])
    assert shelf.pictures.retry(["bad.jpg", "a.jpg"])
    assert shelf.pictures.get("bad.jpg", BOX) is None
    shelf.pictures.want([("bad.jpg", BOX), ("a.jpg", BOX)])
    shelf.wait(1)
    assert shelf.loaded == ["bad.jpg", "a.jpg", "bad.jpg"]
