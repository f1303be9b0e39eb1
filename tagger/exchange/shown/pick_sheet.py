"""A pick list as a PDF (ISO 32000) by way of the fpdf2 library, which is an extra and loaded only
when it is needed: a box to tick, the front small, and where the card is."""

from __future__ import annotations

import io
import tempfile
from collections.abc import Iterable, Sequence
from importlib import import_module
from pathlib import Path
from typing import Any, NamedTuple

from PIL import Image, ImageFont

from tagger.core.model.text import printable
from tagger.errors import LotError
from tagger.exchange.shown.contact_sheet import PAPERS, drawable

INSTALL = "pipx install '.[pdf]' in the clone"
DPI = 150
PICTURE = (14.0, 19.6)  # mm: a card's shape, 2.5 x 3.5 in (common practice), made smaller
_EDGE, _ROW, _HEAD, _BOX, _GAP = 12.0, 22.0, 9.0, 5.0, 3.0  # mm
_TITLE, _TEXT, _SMALL = 12, 10, 8  # points
_FONT = "card"


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
    library = _library()
    pdf = library.FPDF(format=PAPERS[paper])
    pdf.set_margins(_EDGE, _EDGE)
    pdf.set_auto_page_break(False)
    pdf.set_title(printable(title))
    _use_font(pdf)
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


def _library() -> Any:
    try:
        return import_module("fpdf")
    except ImportError:
        raise LotError(
            f"Pick lists as PDF need the library fpdf2, which is not installed: {INSTALL}. "
            "A CSV file needs nothing."
        ) from None


def _font() -> Any:
    # Pillow's own, as on contact sheets: a list looks the same everywhere
    return ImageFont.load_default(_TEXT)


def _use_font(pdf: Any) -> None:
    # fpdf2 reads fonts from files only
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "card.ttf"
        file.write_bytes(_font().font_bytes)
        pdf.add_font(_FONT, "", file)
        pdf.set_font(_FONT, size=_TEXT)


def _make_room(pdf: Any, high: float) -> bool:
    """Begin a page where so many mm are no longer left on this one; whether it did."""
    full = bool(pdf.get_y() + high > pdf.h - _EDGE)
    if full:
        pdf.add_page()
    return full


def _write_line(pdf: Any, points: int, text: str) -> None:
    pdf.set_font(_FONT, size=points)
    pdf.set_x(_EDGE)
    pdf.cell(h=points * 0.5, text=_fitting(pdf, text), new_x="LMARGIN", new_y="NEXT")


def _write_entry(pdf: Any, entry: PickEntry) -> None:
    top, left = pdf.get_y(), _EDGE + _BOX + _GAP
    pdf.rect(_EDGE, top + (PICTURE[1] - _BOX) / 2, _BOX, _BOX)
    if entry.front:
        _place_picture(pdf, entry.front, left, top)
    for at, line in enumerate(entry.lines):
        pdf.set_font(_FONT, size=_SMALL if at else _TEXT)
        pdf.set_xy(left + PICTURE[0] + _GAP, top + 1 + at * 4.8)
        pdf.cell(h=4.5, text=_fitting(pdf, line))
    pdf.set_y(top + _ROW)


def _place_picture(pdf: Any, front: bytes, left: float, top: float) -> None:
    picture = Image.open(io.BytesIO(front))
    scale = min(PICTURE[0] / picture.width, PICTURE[1] / picture.height)
    pdf.image(picture, left, top, picture.width * scale, picture.height * scale)


def _fitting(pdf: Any, text: str) -> str:
    """A text in glyphs that there are, cut off where the page ends."""
    wide = pdf.w - pdf.get_x() - _EDGE
    line = drawable(printable(text, 300), _font())
    if pdf.get_string_width(line) <= wide:
        return line
    while line and pdf.get_string_width(f"{line}...") > wide:
        line = line[:-1]
    return f"{line}..."
