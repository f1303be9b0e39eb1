"""Where things stand on the pages of a contact sheet, in mm, drawn in pixels or written as PDF."""

from __future__ import annotations

# mm: ISO 216; ANSI/ASME Y14.1, 8.5 x 11 in
PAPERS = {
    "a4": (210.0, 297.0),
    "letter": (215.9, 279.4),
}
ACROSS = 3
EDGE, HEAD, FOOT, BETWEEN = 10.0, 9.0, 6.0, 4.0  # mm
CARD = (28.0, 39.2)  # mm: a card's shape, 2.5 x 3.5 in (common practice), made smaller
LINE, LINES = 3.6, 3  # mm, lines of text below a card
ROW = CARD[1] + LINE * LINES + 2.0
SIZES = (3.1, 2.7)  # mm, letters of the first line and of the others


def a_page(paper: str) -> int:
    """How many cards a page of PAPERS holds."""
    return ACROSS * int((PAPERS[paper][1] - 2 * EDGE - HEAD - FOOT) // ROW)
