"""The ways of drawing with characters, by name."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from PIL import Image

from tagger.preview.half_blocks import HalfBlocks
from tagger.preview.quadrants import QUADRANTS
from tagger.preview.sextants import SEXTANTS

if TYPE_CHECKING:
    from tagger.preview.cells import CellRow
    from tagger.preview.terminal_capabilities import Depth


class Drawing(Protocol):
    """A way of drawing. A cell is one wide and two high, and has `across` x `down` pixels."""

    name: str
    across: int
    down: int

    def draw(self, picture: Image.Image, depth: Depth) -> list[CellRow]:
        """An RGB picture, with as many pixels as its cells have, as rows of cells."""


DRAWINGS: dict[str, Drawing] = {
    drawing.name: drawing for drawing in (HalfBlocks(), QUADRANTS, SEXTANTS)
}
"""By their names in `terminal_capabilities.DRAWINGS`."""
