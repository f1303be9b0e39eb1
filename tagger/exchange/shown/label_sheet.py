"""Sheets of labels and dividers as a PDF: for a card its stock number as text and barcode and what
it is; for a place its name and what lies there."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from functools import partial
from itertools import chain, cycle, repeat
from typing import TYPE_CHECKING, Any, NamedTuple

from tagger.errors import UsageError
from tagger.exchange.shown.pdf_pages import bars, modules, new_pdf, width, write

if TYPE_CHECKING:
    from tagger.exchange.shown.label_grids import Grid

WHAT = "Labels"  # what needs the extra
_PAD = 1.8  # mm between the edge of a label and what is on it, less above and below on low ones
_BLANK = 4.3  # mm at a page's edge on which office printers print nothing (common practice)
_LEADING = 1.15  # from one line to the next, by the height of its letters
_LOOSE = 0.8  # mm above a barcode
_LARGEST, _SMALLEST = 16.0, 3.5  # mm, letters of a name
_HEADING = 0.45  # of a label's height


class Label(NamedTuple):
    """What stands on one label: a heading, large where there is no `code`, further lines, and a
    code as it is written, that stands as a barcode without its hyphens; `corner` stands at the
    right of the code. `typed` is what a hand scanner types where there is no code, as a barcode
    where the label is wide enough."""

    heading: str
    lines: Sequence[str] = ()
    code: str = ""
    corner: str = ""
    typed: str = ""


class _Box(NamedTuple):
    """Where something may be drawn, in mm."""

    left: float
    top: float
    wide: float
    high: float


def label_sheet(
    title: str,
    labels: Sequence[Label],
    grid: Grid,
    paper: str,
    skip: int = 0,
    outlines: bool = False,
) -> bytes:
    """The bytes of the pages; so many labels of the first are left blank. `outlines`: with lines to
    cut along. Raises LotError where a library is missing, UsageError where a barcode is wider than
    a label."""
    pdf = new_pdf(paper, title, WHAT)
    for corner, label in zip(_corners(pdf, grid, paper, skip), labels, strict=False):
        box = _Box(*corner, grid.wide, grid.high)
        if outlines:
            pdf.set_line_width(0.1)
            pdf.rect(*box)
        inner = _within(box, pdf.w, pdf.h)
        if label.code:
            _card(pdf, label, inner)
        else:
            _place(pdf, label, inner)
    return bytes(pdf.output())


def _within(label: _Box, wide: float, high: float) -> _Box:
    """What of a label is printed on, on a page of this size."""
    above = min(_PAD, label.high * 0.07)
    left, top = max(label.left + _PAD, _BLANK), max(label.top + above, _BLANK)
    right = min(label.left + label.wide - _PAD, wide - _BLANK)
    foot = min(label.top + label.high - above, high - _BLANK)
    return _Box(left, top, right - left, foot - top)


def _corners(pdf: Any, grid: Grid, paper: str, skip: int) -> Iterator[tuple[float, float]]:
    """Where one label after the other goes; a page is added before its first."""
    for at, corner in enumerate(cycle(grid.corners(paper))):
        if at == skip or (at > skip and at % grid.a_page == 0):
            pdf.add_page()
        if at >= skip:
            yield corner


def _card(pdf: Any, label: Label, box: _Box) -> None:
    """Lines, under them the bars, and at the foot the number that they say."""
    small = min(3.2, max(2.1, box.high * 0.09))
    tall = min(14.0, max(4.0, box.high * 0.32))
    foot = box.top + box.high - small
    pattern = modules(label.code.replace("-", ""), WHAT)
    if not bars(pdf, pattern, box.left, foot - 0.6 - tall, box.wide, tall):
        raise UsageError(
            f"The labels are too narrow for the barcode of {label.code}; choose a grid with wider "
            "labels."
        )
    corner = width(pdf, label.corner, small)
    write(pdf, (box.left, foot), label.code, small, box.wide - corner - 1)
    write(pdf, (box.left + box.wide - corner, foot), label.corner, small, corner + 0.1)
    room = box.high - small - 0.6 - tall - _LOOSE
    _lines(pdf, (label.heading, *label.lines), box._replace(high=room), [small * 1.15], small)


def _place(pdf: Any, label: Label, box: _Box) -> None:
    """A name that is read from afar, and lines under it."""
    box = _typed(pdf, label.typed, box)
    large, heading = max(
        (_size(pdf, lines, box), lines) for lines in map(partial(_broken, label.heading), (1, 2, 3))
    )
    small = min(4.5, max(2.4, box.high * 0.09), large)
    _lines(pdf, (*heading, *label.lines), box, [large] * len(heading), small)


def _typed(pdf: Any, typed: str, box: _Box) -> _Box:
    """What is left of a label above the bars, all of it where there are none."""
    tall = min(10.0, max(4.0, box.high * 0.22))
    if not typed or not bars(
        pdf, modules(typed, WHAT), box.left, box.top + box.high - tall, box.wide, tall
    ):
        return box
    return box._replace(high=box.high - tall - _LOOSE)


def _broken(text: str, into: int) -> list[str]:
    """A text in about so many lines of about one length."""
    return textwrap.wrap(text, max(-(-len(text) // into), *map(len, text.split())))


def _size(pdf: Any, lines: Sequence[str], box: _Box) -> float:
    """How high letters can be for these lines to fit beside the edges, in half of the height."""
    widest = max(width(pdf, line, 10.0) for line in lines) / 10
    tallest = min(_LARGEST, box.high * _HEADING / len(lines))
    return max(min(tallest, box.wide * 0.98 / max(widest, 0.1)), _SMALLEST)


def _lines(
    pdf: Any, lines: Sequence[str], box: _Box, first: Sequence[float], others: float
) -> None:
    """As many lines as there is room for, the first ones in letters of other heights."""
    down = 0.0
    for text, high in zip(lines, chain(first, repeat(others)), strict=False):
        if not text:
            continue
        if down + high > box.high:
            return
        write(pdf, (box.left, box.top + down), text, high, box.wide)
        down += high * _LEADING
