"""A pick list as a PDF (ISO 32000) by way of the fpdf2 library, which is an extra and loaded only
when it is needed: a box to tick, the front small, and where the card is."""

from __future__ import annotations

import io
from collections.abc import Iterable, Sequence
from typing import Any, NamedTuple

from tagger.exchange.shown.pdf_fonts import FONT
from tagger.exchange.shown.pdf_pages import fitting, new_pdf

DPI = 150
PICTURE = (14.0, 19.6)  # mm: a card's shape, 2.5 x 3.5 in (common practice), made smaller
HOW = (
    "Each count is that before you begin. Pull from the back of a box to its front, and it stays "
    "right."
)
_EDGE, _ROW, _HEAD, _BOX, _GAP = 12.0, 22.0, 11.0, 5.0, 3.0  # mm
_WHERE, _RULE = 0.58, 0.2  # of a page's width, where it says where a card lies; mm, a line's width
_TITLE, _LARGE, _TEXT, _SMALL = 14, 12, 10, 8  # points
_INK, _PALE = 0, 110  # grey


class PickEntry(NamedTuple):
    """One card: the lines of text beside its picture, and those on where it lies, the first of
    either large; a JPEG file or nothing."""

    what: Sequence[str]
    where: Sequence[str]
    front: bytes = b""


def picture_pixels() -> int:
    """The longest side of a picture on a pick list, in pixels."""
    return round(PICTURE[1] / 25.4 * DPI)


def pick_sheet(
    title: str,
    places: Iterable[tuple[str, Sequence[PickEntry]]],
    paper: str = "a4",
    foot: str = "",
) -> bytes:
    """The bytes of a pick list: under each place its cards; `foot` stands on each page before its
    number. Raises LotError where fpdf2 is missing."""
    pdf = new_pdf(paper, title, "Pick lists as PDF", "A CSV file needs nothing.")
    pdf.set_lang("en")
    pdf.set_margins(_EDGE, _EDGE)
    _begin_page(pdf, foot)
    _write_line(pdf, _TITLE, title)
    pdf.set_text_color(_PALE)
    _write_line(pdf, _SMALL, HOW)
    pdf.set_text_color(_INK)
    for place, entries in places:
        # a heading at the foot of a page would be without its cards
        _make_room(pdf, _HEAD + _ROW, foot)
        pdf.set_y(pdf.get_y() + _GAP)
        _write_heading(pdf, place)
        for entry in entries:
            if _make_room(pdf, _ROW, foot):
                _write_heading(pdf, f"{place} (continued)")
            _write_entry(pdf, entry)
    return bytes(pdf.output())


def _make_room(pdf: Any, high: float, foot: str) -> bool:
    """Begin a page where so many mm are no longer left on this one; whether it did."""
    full = bool(pdf.get_y() + high > pdf.h - _EDGE - _HEAD / 2)
    if full:
        _begin_page(pdf, foot)
    return full


def _begin_page(pdf: Any, foot: str) -> None:
    pdf.add_page()
    pdf.set_text_color(_PALE)
    pdf.set_y(pdf.h - _EDGE)
    # the library puts the number of pages there at the end
    _write_line(pdf, _SMALL, f"{foot}, page {pdf.page_no()} of {{nb}}".removeprefix(", "))
    pdf.set_text_color(_INK)
    pdf.set_y(_EDGE)


def _write_heading(pdf: Any, text: str) -> None:
    _write_line(pdf, _LARGE, text)
    pdf.set_line_width(_RULE)
    pdf.line(_EDGE, pdf.get_y() + 0.5, pdf.w - _EDGE, pdf.get_y() + 0.5)
    pdf.set_y(pdf.get_y() + _GAP / 2)


def _write_line(pdf: Any, points: int, text: str) -> None:
    pdf.set_font(FONT, size=points)
    pdf.set_x(_EDGE)
    line = fitting(pdf, text, pdf.w - 2 * _EDGE)
    pdf.cell(h=points * 0.5, text=line, new_x="LMARGIN", new_y="NEXT")


def _write_entry(pdf: Any, entry: PickEntry) -> None:
    top, left = pdf.get_y(), _EDGE + _BOX + _GAP
    pdf.rect(_EDGE, top + (PICTURE[1] - _BOX) / 2, _BOX, _BOX)
    if entry.front:
        _place_picture(pdf, entry.front, left, top)
    left, where = left + PICTURE[0] + _GAP, pdf.w * _WHERE
    _write_lines(pdf, entry.what, left, top + 1.5, where - left - _GAP, _TEXT)
    _write_lines(pdf, entry.where, where, top + 1.5, pdf.w - _EDGE - where, _LARGE)
    pdf.set_y(top + _ROW)


def _write_lines(
    pdf: Any, lines: Sequence[str], left: float, top: float, wide: float, first: int
) -> None:
    for at, line in enumerate(lines):
        pdf.set_font(FONT, size=_SMALL if at else first)
        pdf.set_xy(left, top + at * 5.4)
        pdf.cell(h=5, text=fitting(pdf, line, wide))


def _place_picture(pdf: Any, front: bytes, left: float, top: float) -> None:
    pdf.image(io.BytesIO(front), left, top, *PICTURE, keep_aspect_ratio=True)
