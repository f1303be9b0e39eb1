"""What is drawn on pages of a PDF (ISO 32000) by way of the fpdf2 library, which is an extra and
loaded only when it is needed: text in all scripts that there are fonts for, and barcodes."""

from __future__ import annotations

from itertools import groupby
from typing import Any

from tagger.core.model.text import printable
from tagger.exchange.shown.pdf_fonts import FONT, Letters
from tagger.exchange.shown.sheet_geometry import PAPERS
from tagger.extras import load_extra

POINT = 25.4 / 72  # mm
# ISO/IEC 15417, 4.3.1: ten modules of nothing on either side of the bars
QUIET = 10
# Width of a module in mm: wider takes room alone; below that a hand scanner does not read what an
# office printer prints (common practice, no source).
WIDEST, NARROWEST = 0.33, 0.19


def load(library: str, what: str, instead: str = "") -> Any:
    """A module of the extra `pdf`. Raises LotError where it is missing; `what` needs it, and
    `instead` is a sentence on what needs nothing."""
    return load_extra(library, "pdf", f"{what} need", instead)


def new_pdf(paper: str, title: str, what: str, instead: str = "") -> Any:
    """A document without pages. Raises LotError where fpdf2 is missing; see `load`."""
    pdf = load("fpdf", what, instead).FPDF(format=PAPERS[paper])
    pdf.set_margins(0, 0)
    pdf.set_auto_page_break(False)
    pdf.c_margin = 0
    pdf.set_title(printable(title))
    # what the library cannot know: which letters its fonts have
    pdf.letters = Letters(pdf)
    return pdf


def write(pdf: Any, at: tuple[float, float], text: str, high: float, wide: float) -> None:
    """One line of text in letters `high` mm high, cut off where it is wider than `wide` mm."""
    pdf.set_font(FONT, size=high / POINT)
    line = fitting(pdf, text, wide)
    if line:  # fpdf2 does not write nothing
        pdf.set_xy(*at)
        pdf.cell(h=high, text=line)


def width(pdf: Any, text: str, high: float) -> float:
    """How wide a line is in letters `high` mm high."""
    pdf.set_font(FONT, size=high / POINT)
    return float(pdf.get_string_width(pdf.letters.shown(text)))


def modules(text: str, what: str) -> str:
    """The modules of a text in Code 128 (ISO/IEC 15417), `1` for a dark one. The text has ASCII
    characters alone. Raises LotError where the library is missing."""
    found: list[str] = load("barcode", what).Code128(text).build()
    return found[0]


def bars(pdf: Any, pattern: str, left: float, top: float, wide: float, high: float) -> bool:
    """Draw a barcode within so many mm; False, and nothing, where they are too few."""
    module = min(WIDEST, wide / (len(pattern) + 2 * QUIET))
    if module < NARROWEST:
        return False
    pdf.set_fill_color(0)
    x = left + QUIET * module
    for dark, run in groupby(pattern):
        length = len(list(run)) * module
        if dark == "1":
            pdf.rect(x, top, length, high, style="F")
        x += length
    return True


def fitting(pdf: Any, text: str, wide: float) -> str:
    """A text in glyphs that there are, cut off where it is wider than so many mm in the font as
    set."""
    line = str(pdf.letters.shown(text))
    if pdf.get_string_width(line) <= wide:
        return line
    while line and pdf.get_string_width(f"{line}...") > wide:
        line = line[:-1]
    return f"{line}..."
