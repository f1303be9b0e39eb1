"""Contact sheets: pages of cards, front and back small, with the position and the tags, drawn with
Pillow alone."""

from __future__ import annotations

import math
import tempfile
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import islice
from typing import IO

from PIL import Image, ImageDraw, ImageFont

from tagger.core.model.text import fold, printable
from tagger.exchange.shown.sheet_geometry import (
    ACROSS,
    BETWEEN,
    CARD,
    EDGE,
    HEAD,
    LINE,
    LINES,
    PAPERS,
    ROW,
    SIZES,
    a_page,
)
from tagger.imaging.card.card_edges import MM

DPI = 200
_INK, _PALE, _PAPER = (0, 0, 0), (110, 110, 110), (255, 255, 255)
_INKS = (_INK, _PALE)  # of the first line, and of the others
_NO_GLYPH = (
    "\uffff"  # a code point that is no character (The Unicode Standard, 23.7), so no font draws it
)
Font = ImageFont.FreeTypeFont | ImageFont.ImageFont


@dataclass(frozen=True)
class Cell:
    """One card: lines of text below its two pictures; None where a side is missing or cannot be
    shown."""

    lines: Sequence[str]
    front: Image.Image | None
    back: Image.Image | None


def picture_pixels(dpi: int = DPI) -> int:
    """The longest side of a picture on a sheet, in pixels."""
    return _px(CARD[1], dpi)


def pages(
    cells: Iterable[Cell], count: int, title: str, foot: str, paper: str, dpi: int = DPI
) -> Iterator[Image.Image]:
    """The pages of so many cards, made one by one. `foot` is the line at the end of each."""
    of = max(1, math.ceil(count / a_page(paper)))
    left = iter(cells)
    for number in range(1, of + 1):
        yield _page(
            list(islice(left, a_page(paper))), f"{title}, page {number} of {of}", foot, paper, dpi
        )


def write_pdf(
    made: Iterable[Image.Image], title: str, write: Callable[[bytes], object], dpi: int = DPI
) -> None:
    """Pages as a PDF file (ISO 32000), of which one is held at a time."""
    with tempfile.TemporaryFile() as file:
        for number, page in enumerate(made):
            file.seek(0)
            # Given with each page, the title would stand in the file as often.
            about = {"title": title} if number == 0 else {}
            page.save(file, "PDF", append=number > 0, resolution=dpi, quality=88, **about)
        file.seek(0)
        _copy(file, write)


def _copy(file: IO[bytes], write: Callable[[bytes], object]) -> None:
    while part := file.read(1 << 20):
        write(part)


def _px(length: float, dpi: int) -> int:
    return round(length / MM * dpi)


def _page(cells: Sequence[Cell], head: str, foot: str, paper: str, dpi: int) -> Image.Image:
    wide, high = PAPERS[paper]
    page = Image.new("RGB", (_px(wide, dpi), _px(high, dpi)), _PAPER)
    draw = ImageDraw.Draw(page)
    room = _px(wide - 2 * EDGE, dpi)
    edge = _px(EDGE, dpi)
    _write(draw, (edge, edge), head, room, _font(_px(4.2, dpi)), _INK)
    _write(draw, (edge, _px(high - EDGE - 3.2, dpi)), foot, room, _font(_px(2.8, dpi)), _PALE)
    column = (wide - 2 * EDGE) / ACROSS
    for at, cell in enumerate(cells):
        place = (EDGE + at % ACROSS * column, EDGE + HEAD + at // ACROSS * ROW)
        _cell(page, draw, cell, place, column - BETWEEN, dpi)
    return page


def _cell(
    page: Image.Image,
    draw: ImageDraw.ImageDraw,
    cell: Cell,
    place: tuple[float, float],
    wide: float,
    dpi: int,
) -> None:
    left, upper = place
    for at, (side, picture) in enumerate((("front", cell.front), ("back", cell.back))):
        corner = (_px(left + at * (CARD[0] + 1.0), dpi), _px(upper, dpi))
        if picture is None:
            _missing_side(draw, corner, side, dpi)
        else:
            _side(page, corner, picture, dpi)
    for number, line in enumerate(cell.lines[:LINES]):
        size, ink = SIZES[number > 0], _INKS[number > 0]
        spot = (_px(left, dpi), _px(upper + CARD[1] + 0.8 + number * LINE, dpi))
        _write(draw, spot, line, _px(wide, dpi), _font(_px(size, dpi)), ink)


def _side(page: Image.Image, corner: tuple[int, int], picture: Image.Image, dpi: int) -> None:
    wide, high = _px(CARD[0], dpi), _px(CARD[1], dpi)
    factor = min(wide / picture.width, high / picture.height)
    size = (max(1, round(picture.width * factor)), max(1, round(picture.height * factor)))
    # In two steps: with a gap of 3 the result is nearly that of one (Pillow, Image.resize).
    small = picture.resize(size, Image.Resampling.BICUBIC, reducing_gap=3.0)
    page.paste(small, (corner[0] + (wide - size[0]) // 2, corner[1] + (high - size[1]) // 2))


def _missing_side(draw: ImageDraw.ImageDraw, corner: tuple[int, int], side: str, dpi: int) -> None:
    left, upper = corner
    wide, high = _px(CARD[0], dpi), _px(CARD[1], dpi)
    draw.rectangle((left, upper, left + wide, upper + high), outline=_PALE)
    spot = (left + _px(2, dpi), upper + high // 2)
    _write(draw, spot, f"no {side}", wide, _font(_px(2.8, dpi)), _PALE)


def _write(
    draw: ImageDraw.ImageDraw,
    at: tuple[int, int],
    text: str,
    wide: int,
    font: Font,
    ink: tuple[int, int, int],
) -> None:
    line = drawable(printable(text, 300), font)
    if font.getlength(line) > wide:
        # Three dots: not every font has a glyph for the one sign that is three.
        while line and font.getlength(f"{line}...") > wide:
            line = line[:-1]
        line += "..."
    draw.text(at, line, fill=ink, font=font)


def drawable(text: str, font: Font) -> str:
    """The text in what the font has glyphs for: plain letters for those with marks, `Nunez`, else
    escapes such as `\\u0416`."""
    return "".join(char if _has(font, char) else _instead(font, char) for char in text)


def _instead(font: Font, char: str) -> str:
    plain = fold(char)
    if all(_has(font, letter) for letter in plain):
        return plain.capitalize() if char.isupper() else plain
    return f"\\u{ord(char):04x}"


@lru_cache(maxsize=16)
def _font(pixels: int) -> Font:
    """Pillow's own font, so that a sheet looks the same everywhere."""
    return ImageFont.load_default(pixels)


# Kept, since it draws both to compare them, for each letter of each line.
@lru_cache(maxsize=4096)
def _has(font: Font, char: str) -> bool:
    return char == " " or bytes(font.getmask(char)) != bytes(font.getmask(_NO_GLYPH))
