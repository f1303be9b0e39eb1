"""Half blocks: two pixels a cell, one above the other, with U+2580 UPPER HALF BLOCK and U+2584
LOWER HALF BLOCK."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PIL import Image

from tagger.preview.dither import TwoColourCells, glyphs, painted

if TYPE_CHECKING:
    from tagger.preview.cells import CellRow
    from tagger.preview.terminal_capabilities import Depth

UPPER, LOWER = "▀", "▄"
# Of a check the upper half in one cell and the lower half in the next: else it would be stripes.
_GLYPHS = glyphs((" ", UPPER, LOWER, "█"), check=(1, 2))


class HalfBlocks:
    """Each pixel has its own colour, and is as wide as it is high. Every font has the glyphs."""

    name = "half blocks"
    across, down = 1, 2

    def draw(self, picture: Image.Image, depth: Depth) -> list[CellRow]:
        """An RGB picture as rows of cells, two pixel rows a row of cells; an odd last row is
        doubled."""
        width, rows = picture.width, (picture.height + 1) // 2
        whole = picture.tobytes()
        if picture.height % 2:
            whole += whole[-width * 3 :]
        lines = [whole[start : start + width * 3] for start in range(0, len(whole), width * 3)]
        upper, lower = (
            Image.frombytes("RGB", (width, rows), b"".join(lines[half::2])) for half in (0, 1)
        )
        # Two pixels have the cell's two colours to themselves: the ink is always the upper one.
        return painted(TwoColourCells([[1] * width] * rows, upper, lower), _GLYPHS, depth)
