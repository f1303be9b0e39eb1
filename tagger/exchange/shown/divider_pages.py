"""Pages of dividers to print on both sides and cut: as a PDF, or as pictures. Behind each page of
fronts comes the page of their backs, laid so that turning the paper over its long edge brings each
back behind its front."""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from itertools import islice
from typing import TYPE_CHECKING

from PIL import Image, ImageDraw, ImageFont

from tagger.exchange.shown.divider_faces import Ink, Shape, Words, faces
from tagger.exchange.shown.label_grids import DIVIDERS
from tagger.exchange.shown.sheet_geometry import PAPERS

if TYPE_CHECKING:
    from tagger.core.dividers.divider import Divider

WHAT = "Dividers as PDF"
DPI = 300
_MARGIN = 4.5  # mm at a page's edge on which office printers print nothing (common practice)
_MARK, _AWAY, _THIN = 3.0, 0.4, 0.15  # mm: a cutting mark's length, its gap, its width


def divider_pages(dividers: Sequence[Divider], paper: str) -> Iterator[list[Shape]]:
    """The pages: fronts, their backs, and so on. Raises LotError where a library is missing."""
    corners = list(DIVIDERS.corners(paper))
    marks = list(_marks(paper))
    made = map(faces, dividers)
    while some := list(islice(made, DIVIDERS.a_page)):
        fronts, backs = zip(*some, strict=True)
        yield [*marks, *_placed(fronts, corners)]
        yield [*marks, *_placed(backs, [corners[_turned(at)] for at in range(len(corners))])]


def _turned(at: int) -> int:
    """The place behind a place, on paper that was turned over its long edge."""
    row, column = divmod(at, DIVIDERS.across)
    return row * DIVIDERS.across + DIVIDERS.across - 1 - column


def _placed(
    made: Sequence[Sequence[Shape]], corners: Sequence[tuple[float, float]]
) -> Iterator[Shape]:
    for shapes, (left, top) in zip(made, corners, strict=False):
        for shape in shapes:
            yield shape._replace(left=shape.left + left, top=shape.top + top)


def _marks(paper: str) -> Iterator[Ink]:
    """Cutting marks outside the dividers, at each line along which they are cut."""
    wide, high = PAPERS[paper]
    (left, top), *_ = DIVIDERS.corners(paper)
    right, foot = wide - left, high - top
    across, down = min(_MARK, left - _MARGIN), min(_MARK, top - _MARGIN)
    for column in range(DIVIDERS.across + 1):
        x = left + column * DIVIDERS.wide - _THIN / 2
        yield Ink(x, top - _AWAY - down, _THIN, down)
        yield Ink(x, foot + _AWAY, _THIN, down)
    for row in range(DIVIDERS.down + 1):
        y = top + row * DIVIDERS.high - _THIN / 2
        yield Ink(left - _AWAY - across, y, across, _THIN)
        yield Ink(right + _AWAY, y, across, _THIN)


def as_pdf(pages: Iterator[list[Shape]], paper: str, title: str) -> bytes:
    """The pages as a PDF. Raises LotError where fpdf2 is missing."""
    from tagger.exchange.shown.pdf_pages import new_pdf, write

    pdf = new_pdf(paper, title, WHAT, "A PNG file needs nothing more.")
    for page in pages:
        pdf.add_page()
        pdf.set_fill_color(0)
        for shape in page:
            if isinstance(shape, Words):
                write(pdf, (shape.left, shape.top), shape.text, shape.high, 2 * pdf.w)
            else:
                pdf.rect(*shape, style="F")
    return bytes(pdf.output())


def as_pngs(pages: Iterator[list[Shape]], paper: str) -> Iterator[bytes]:
    """The pages as PNG files of 300 dpi, one by one."""
    for page in pages:
        file = io.BytesIO()
        drawn_page(page, PAPERS[paper], DPI).save(file, "PNG", dpi=(DPI, DPI))
        yield file.getvalue()


def drawn_page(shapes: Sequence[Shape], size: tuple[float, float], dpi: int) -> Image.Image:
    """Shapes on white paper of so many mm."""
    scale = dpi / 25.4
    page = Image.new("L", (round(size[0] * scale), round(size[1] * scale)), 255)
    draw = ImageDraw.Draw(page)
    for shape in shapes:
        if isinstance(shape, Words):
            font = ImageFont.load_default(max(1, round(shape.high * scale)))
            draw.text((shape.left * scale, shape.top * scale), shape.text, 0, font)
        else:
            left, top, right, foot = _pixels(shape, scale)
            # the rectangle's last row and column are drawn, too
            draw.rectangle((left, top, max(left, right - 1), max(top, foot - 1)), 0)
    return page


def _pixels(ink: Ink, scale: float) -> tuple[int, int, int, int]:
    """Its edges, each rounded by itself: squares beside each other leave no gap."""
    edges = (ink.left, ink.top, ink.left + ink.wide, ink.top + ink.high)
    left, top, right, foot = (round(edge * scale) for edge in edges)
    return left, top, right, foot
