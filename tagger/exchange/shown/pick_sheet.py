"""A pick list as a PDF (ISO 32000) by way of the fpdf2 library, which is an extra and loaded only
when it is needed: a box to tick, the front small, and where the card is."""

from __future__ import annotations

import io
from collections.abc import Iterable, Sequence
from typing import Any, NamedTuple

from PIL import Image

from tagger.exchange.shown.pdf_fonts import FONT
from tagger.exchange.shown.pdf_pages import fitting, new_pdf

DPI = 150
PICTURE = (14.0, 19.6)  # mm: a card's shape, 2.5 x 3.5 in (common practice), made smaller
_EDGE, _ROW, _HEAD, _BOX, _GAP = 12.0, 22.0, 9.0, 5.0, 3.0  # mm
_TITLE, _TEXT, _SMALL = 12, 10, 8  # points


class PickEntry(NamedTuple):
    """One card: the lines of text beside its picture, the first large; a JPEG file or nothing."""

    lines: Sequence[str]
    front: bytes = b""


def picture_pixels() -> int:
    """The longest side of a picture on a pick list, in pixels."""
    return round(PICTURE[1] / 25.4 * DPI)


def pick_sheet(
    title: str, places: Iterable[tuple[str, Sequence[PickEntry]]], paper: str = "a4"
) -> bytes:
    """The bytes of a pick list: under each place its cards. Raises LotError where fpdf2 is
    missing."""
    pdf = new_pdf(paper, title, "Pick lists as PDF", "A CSV file needs nothing.")
    pdf.set_margins(_EDGE, _EDGE)
    pdf.add_page()
    _write_line(pdf, _TITLE, title)
    for place, entries in places:
        # a heading at the foot of a page would be without its cards
        _make_room(pdf, _HEAD + _ROW)
        pdf.set_y(pdf.get_y() + _GAP)
        _write_line(pdf, _TITLE, place)
        for entry in entries:
            if _make_room(pdf, _ROW):
                _write_line(pdf, _TITLE, f"{place} (continued)")
            _write_entry(pdf, entry)
    return bytes(pdf.output())


def _make_room(pdf: Any, high: float) -> bool:
    """Begin a page where so many mm are no longer left on this one; whether it did."""
    full = bool(pdf.get_y() + high > pdf.h - _EDGE)
    if full:
        pdf.add_page()
    return full


def _write_line(pdf: Any, points: int, text: str) -> None:
    pdf.set_font(FONT, size=points)
    pdf.set_x(_EDGE)
    pdf.cell(h=points * 0.5, text=_fitting(pdf, text), new_x="LMARGIN", new_y="NEXT")


def _write_entry(pdf: Any, entry: PickEntry) -> None:
    top, left = pdf.get_y(), _EDGE + _BOX + _GAP
    pdf.rect(_EDGE, top + (PICTURE[1] - _BOX) / 2, _BOX, _BOX)
    if entry.front:
        _place_picture(pdf, entry.front, left, top)
    for at, line in enumerate(entry.lines):
        pdf.set_font(FONT, size=_SMALL if at else _TEXT)
        pdf.set_xy(left + PICTURE[0] + _GAP, top + 1 + at * 4.8)
        pdf.cell(h=4.5, text=_fitting(pdf, line))
    pdf.set_y(top + _ROW)


def _place_picture(pdf: Any, front: bytes, left: float, top: float) -> None:
    picture = Image.open(io.BytesIO(front))
    scale = min(PICTURE[0] / picture.width, PICTURE[1] / picture.height)
    pdf.image(picture, left, top, picture.width * scale, picture.height * scale)


def _fitting(pdf: Any, text: str) -> str:
    """A text cut off where the page ends."""
    return fitting(pdf, text, pdf.w - pdf.get_x() - _EDGE)
