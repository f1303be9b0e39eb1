"""What is drawn on the two sides of a divider, in mm from its upper left corner: words for people,
a QR code (ISO/IEC 18004) for the scanner, and stripes by which a divider is known even where its
code cannot be read."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import groupby
from typing import Any, NamedTuple

from PIL import ImageFont

from tagger.core.dividers.divider import BACK, FRONT, Divider, payload_text
from tagger.core.dividers.stripes import BLOCK, DARK, INSIDE, OUTSIDE
from tagger.core.model.text import printable
from tagger.exchange.shown.contact_sheet import drawable
from tagger.exchange.shown.label_grids import CARD
from tagger.extras import load_extra

CODE, MODULE = 24.0, 0.48  # mm: the least width of the code, and of one of its squares
QUIET = 4  # modules of nothing around it: ISO/IEC 18004, 6.3.8
_LEFT, _RIGHT = INSIDE + 2.0, CARD[0] - INSIDE - 2.0  # of what stands between the stripes
_TOP, _FOOT, _GAP = 5.0, 5.0, 2.0
_LETTER = 9.0  # mm high: which side it is
_HEIGHTS = (9.0, 8.0, 6.5, 6.5)  # mm, the most for each of a divider's words
_SMALLEST, _LEADING, _LINES = 2.2, 1.15, 3


class Ink(NamedTuple):
    """A black rectangle."""

    left: float
    top: float
    wide: float
    high: float


class Words(NamedTuple):
    """A line of text in letters so high."""

    left: float
    top: float
    high: float
    text: str


Shape = Ink | Words


def faces(divider: Divider) -> tuple[list[Shape], list[Shape]]:
    """The front and the back of a divider. Raises LotError where the library is missing that makes
    the code."""
    front, back = (list(_face(divider, side)) for side in (FRONT, BACK))
    return front, back


def _face(divider: Divider, side: str) -> Iterator[Shape]:
    yield from _stripes()
    code = _code(payload_text(divider, side))
    wide = max(CODE, len(code) * MODULE)
    top = CARD[1] - _FOOT - wide
    yield from _squares(code, (CARD[0] - wide) / 2, top, wide)
    # beside the code on the side where it is turned over, so that one look tells them apart
    clear = (CARD[0] - wide) / 2 - wide / len(code) * QUIET
    yield Words(_LEFT, top, min(_LETTER, clear - _LEFT + 2), side)
    yield from _words(divider.words, top - wide / len(code) * QUIET - _GAP)


def _stripes() -> Iterator[Ink]:
    for row in DARK:
        for left in (OUTSIDE, CARD[0] - INSIDE):
            yield Ink(left, row * BLOCK, INSIDE - OUTSIDE, BLOCK)


def _code(text: str) -> Sequence[Sequence[int]]:
    """The squares of a code, row by row, 1 for a dark one. Level Q: a quarter may be unreadable."""
    made = load_extra("segno", "dividers", "Dividers need").make(
        text, error="q", micro=False, encoding="utf-8"
    )
    rows: Sequence[Sequence[int]] = made.matrix
    return rows


def _squares(rows: Sequence[Sequence[int]], left: float, top: float, wide: float) -> Iterator[Ink]:
    each = wide / len(rows)
    for down, row in enumerate(rows):
        at = 0
        for dark, run in groupby(row):
            count = len(list(run))
            if dark:
                yield Ink(left + at * each, top + down * each, count * each, each)
            at += count


def _words(words: Sequence[str], foot: float) -> Iterator[Words]:
    """The words below each other, each as large as there is room for."""
    room = foot - _TOP
    scale = 1.0
    blocks = [_block(text, high) for text, high in zip(words, _HEIGHTS, strict=False)]
    tall = sum(len(lines) * high * _LEADING for lines, high in blocks) + _GAP * (len(blocks) - 1)
    if tall > room:
        scale = room / tall
    down = _TOP
    for lines, high in blocks:
        for line in lines:
            yield Words(_LEFT, down, high * scale, line)
            down += high * scale * _LEADING
        down += _GAP * scale


def _block(text: str, most: float) -> tuple[list[str], float]:
    """A text in the lines in which its letters can be largest, and how high they are."""
    shown = drawable(printable(text, 120), _font()) or "?"
    high, lines = max(
        (min(most, _height(lines)), lines) for lines in (_broken(shown, n) for n in _ways())
    )
    return [_cut(line, high) for line in lines], high


def _ways() -> range:
    return range(1, _LINES + 1)


def _broken(text: str, into: int) -> list[str]:
    longest = max(map(len, text.split()), default=1)
    return textwrap.wrap(text, max(-(-len(text) // into), longest)) or [text]


def _height(lines: Sequence[str]) -> float:
    widest = max(width(line, 1.0) for line in lines)
    return max(_SMALLEST, (_RIGHT - _LEFT) / widest)


def _cut(line: str, high: float) -> str:
    while width(line, high) > _RIGHT - _LEFT + 0.01 and len(line) > 4:
        line = f"{line[:-4]}..."
    return line


def width(text: str, high: float) -> float:
    """How wide a text is in letters so high."""
    return float(_font().getlength(text)) / _SIZE * high or 0.01


_SIZE = 100


@lru_cache(1)
def _font() -> Any:
    return ImageFont.load_default(_SIZE)
