"""Sextants: six pixels a cell in two colours, with the block sextants U+1FB00 to U+1FB3B of Unicode
13."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PIL import Image

from tagger.preview.dither import glyphs, painted
from tagger.preview.two_means import fitted

if TYPE_CHECKING:
    from tagger.preview.cells import CellRow
    from tagger.preview.terminal_capabilities import Depth

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
_GLYPHS = glyphs(GLYPHS, check=(25, 38))


class Sextants:
    """Pixels are three quarters as wide as high. Newer fonts only have the glyphs, so the dealer is
    asked first."""

    name = "sextants"
    across, down = 2, 3

    def draw(self, picture: Image.Image, depth: Depth) -> list[CellRow]:
        """An RGB picture as rows of cells, each six pixels; the last column and rows are repeated
        to fill a cell."""
        return painted(fitted(picture, self.across, self.down), _GLYPHS, depth)
