"""Quadrants: four pixels a cell in two colours, with the quadrant blocks U+2596 to U+259F."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PIL import Image

from tagger.preview.dither import glyphs, painted
from tagger.preview.two_means import fitted

if TYPE_CHECKING:
    from tagger.preview.cells import CellRow
    from tagger.preview.terminal_capabilities import Depth

# By the quarters that are filled: 1 upper left, 2 upper right, 4 lower left, 8 lower right.
GLYPHS = " ▘▝▀▖▌▞▛▗▚▐▜▄▙▟█"
# The check is the same in each cell: two pixels by two go on from cell to cell by themselves.
_GLYPHS = glyphs(GLYPHS, check=(9, 9))


class Quadrants:
    """Pixels are half as wide as high. Most fonts have the glyphs."""

    name = "quadrants"
    across, down = 2, 2

    def draw(self, picture: Image.Image, depth: Depth) -> list[CellRow]:
        """An RGB picture as rows of cells, each four pixels; an odd last column or row is
        doubled."""
        return painted(fitted(picture, self.across, self.down), _GLYPHS, depth)
