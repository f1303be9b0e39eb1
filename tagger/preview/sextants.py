"""Sextants: six pixels a cell in two colours, with the block sextants U+1FB00 to U+1FB3B of Unicode
13. Pixels are three quarters as wide as high; newer fonts only have the glyphs, so the dealer is
asked first."""

from __future__ import annotations

from tagger.preview.dither import glyphs
from tagger.preview.fitted_blocks import FittedBlocks

# these four were in Unicode before, and are left out of the row
_ELSEWHERE = {
    0: " ",
    21: "▌",
    42: "▐",
    63: "█",
}


def _glyphs() -> str:
    """By the sixths that are filled: 1 and 2 the upper two, left and right, 4 and 8 the middle, 16
    and 32 the lower."""
    row = iter(range(0x1FB00, 0x1FB3C))
    return "".join(_ELSEWHERE.get(cell) or chr(next(row)) for cell in range(64))


GLYPHS = _glyphs()
# A cell is three pixels high: the same check in each would have two like rows where cells meet.
SEXTANTS = FittedBlocks("sextants", 2, 3, glyphs(GLYPHS, check=(25, 38)))
