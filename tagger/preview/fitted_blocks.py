"""Block glyphs with more pixels a cell than it has colours: which colours, is told by two means."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PIL import Image

from tagger.preview.dither import Glyphs, painted

if TYPE_CHECKING:
    from tagger.preview.cells import CellRow
    from tagger.preview.terminal_capabilities import Depth


@dataclass(slots=True)
class FittedBlocks:
    """A way of drawing by its name, the pixels of a cell across and down, and its glyphs."""

    name: str
    across: int
    down: int
    shapes: Glyphs

    def draw(self, picture: Image.Image, depth: Depth) -> list[CellRow]:
        """An RGB picture as rows of cells; where a cell is not filled the last column or row is
        repeated."""
        # loaded with the first picture that is drawn so: nearly all terminals have half blocks
        from tagger.preview.two_means import fitted

        return painted(fitted(picture, self.across, self.down), self.shapes, depth)
