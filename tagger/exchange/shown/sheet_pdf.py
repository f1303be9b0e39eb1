"""Contact sheets as a PDF (ISO 32000) by way of the fpdf2 library: text that can be searched and
read aloud, the pictures as they are, and a bookmark for each set."""

from __future__ import annotations

import io
from collections.abc import Iterable, Mapping, Sequence
from itertools import islice
from typing import Any, NamedTuple

from tagger.exchange.shown.pdf_pages import new_pdf, write
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

# Of a picture. So large it is hardly smaller than what a decoder makes of a scan at 300 or 600 dpi
# by itself, in half the time. At this quality 400 cards stay below 6 MB, and come as near to the
# scans as fewer dots of a better one.
DPI, QUALITY = 145, 42
_INK, _PALE = 0, 110  # grey
_HEAD_SIZE, _FOOT_SIZE = 4.2, 2.8  # mm
_GAP = 1.0  # mm between front and back
_NO_SET = "no set"


class SheetCard(NamedTuple):
    """One card: lines of text below its pictures, of which each is a JPEG file by its side; `name`
    is what a screen reader says, `set` what it is bookmarked by."""

    lines: Sequence[str]
    sides: Mapping[str, bytes]
    name: str
    set: str


def sheet_pdf(
    cards: Iterable[SheetCard], title: str, head: str, foot: str, paper: str, pages: int
) -> bytes:
    """The bytes of the sheets. `title` is the document's, `head` and `foot` stand on each of its
    `pages`."""
    pdf = new_pdf(paper, title, "Contact sheets")
    pdf.set_lang("en")
    left, named = iter(cards), ""
    for number in range(1, pages + 1):
        pdf.add_page()
        _write_edges(pdf, f"{head}, page {number} of {pages}", foot, paper)
        for at, card in enumerate(islice(left, a_page(paper))):
            name = card.set or _NO_SET
            if name != named:
                pdf.start_section(str(pdf.letters.shown(name)))
                named = name
            _write_card(pdf, card, at, paper)
    return bytes(pdf.output())


def picture_pixels() -> int:
    """The longest side of a picture, in pixels."""
    return round(CARD[1] / 25.4 * DPI)


def _write_edges(pdf: Any, head: str, foot: str, paper: str) -> None:
    wide, high = PAPERS[paper]
    room = wide - 2 * EDGE
    pdf.set_text_color(_INK)
    write(pdf, (EDGE, EDGE), head, _HEAD_SIZE, room)
    pdf.set_text_color(_PALE)
    write(pdf, (EDGE, high - EDGE - 3.2), foot, _FOOT_SIZE, room)


def _write_card(pdf: Any, card: SheetCard, at: int, paper: str) -> None:
    column = (PAPERS[paper][0] - 2 * EDGE) / ACROSS
    left, top = EDGE + at % ACROSS * column, EDGE + HEAD + at // ACROSS * ROW
    for side, x in (("front", left), ("back", left + CARD[0] + _GAP)):
        if side in card.sides:
            told = f"{side} of {card.name}"
            picture = io.BytesIO(card.sides[side])
            pdf.image(picture, x, top, *CARD, keep_aspect_ratio=True, alt_text=told)
        else:
            _write_missing(pdf, x, top, side)
    for number, line in enumerate(card.lines[:LINES]):
        pdf.set_text_color(_PALE if number else _INK)
        spot = (left, top + CARD[1] + 0.8 + number * LINE)
        write(pdf, spot, line, SIZES[number > 0], column - BETWEEN)


def _write_missing(pdf: Any, x: float, top: float, side: str) -> None:
    pdf.set_draw_color(_PALE)
    pdf.rect(x, top, *CARD)
    pdf.set_text_color(_PALE)
    write(pdf, (x + 2, top + CARD[1] / 2), f"no {side}", _FOOT_SIZE, CARD[0])
